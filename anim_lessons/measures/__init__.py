"""What is measured on drawings, for one loop or thousands. Imports `geometry`."""
