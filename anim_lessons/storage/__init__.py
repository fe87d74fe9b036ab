"""Files read and written whole: a learner's drawings saved, versions kept. Imports `model`."""
