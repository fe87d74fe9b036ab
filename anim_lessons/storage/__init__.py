"""Files read and written whole: a learner's drawings saved, versions kept, nothing lost. Imports `model`."""
