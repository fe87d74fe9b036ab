"""Drawings put before the rules: brief, causes, corrections, verdict. Imports what stands above it."""
