"""Weight and springs, drag and lag: how what hangs follows. Imports `model`, `geometry`."""
