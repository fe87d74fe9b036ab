"""A measure that is worked out when it is first asked for, and kept."""


class measure:
    """`functools.cached_property` without the lock that it takes each time in Python 3.11: a circle of the guide asks a hundred measures."""

    def __init__(self, func):
        self.func, self.name, self.__doc__ = func, func.__name__, func.__doc__

    def __set_name__(self, owner, name):
        self.name = name

    def __get__(self, one, owner=None):
        if one is None:
            return self
        value = one.__dict__[self.name] = self.func(one)
        return value
