"""The data: numbered drawings of limbs, the file they are kept in, the words for them.

Imports no other room.
"""
