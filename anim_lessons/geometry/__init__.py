"""Angles, limbs, paths of action and timing charts. Imports `model`."""
