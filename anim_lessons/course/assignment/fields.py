"""What is filled in, field by field, and what is wrong with it."""

import re
import unicodedata

from ...model.printable import cut

MOST_NAME = 40  # letters


class Faults(Exception):
    """What cannot be taken as it is filled in: `of` has a sentence for each field, by its key in FIRST, or "rule NAME"."""

    def __init__(self, of):
        super().__init__(" ".join(of.values()))
        self.of = of


class Reading:
    """The fields of a form; of each that is wrong `faults` gets one sentence, and the reader a value to go on with.

    Parameters
    ----------
    values : dict
    """

    def __init__(self, values):
        self.values, self.faults = values, {}

    def fault(self, field, says):
        self.faults.setdefault(field, says)

    def text(self, field, most):
        text = self.values.get(field)
        if not isinstance(text, str):
            self.fault(field, "Give a text here.")
            return ""
        if len(text) > most:
            self.fault(field, f"That is {len(text)} letters; {most} is the most there is room for. Shorten it.")
        return text

    def number(self, field, least, most, what, whole=False, value=None):
        value = self.values.get(field) if value is None else value
        right = isinstance(value, (int, float)) and not isinstance(value, bool) and least <= value <= most
        if not right or whole and value != int(value):
            self.fault(field, f"Give {'a whole number' if whole else 'a number'} from {least:g} to {most:g}: {what}.")
            return least
        return int(value) if whole else value

    def one_of(self, field, names):
        value = self.values.get(field)
        if not isinstance(value, str) or value not in names:
            self.fault(field, f"Choose one of these: {', '.join(names)}.")
            return next(iter(names))
        return value


def file_name(title):
    """The name of an assignment's files by its title: small letters and digits, no spaces.

    Examples
    --------
    >>> file_name("Swing the rope, twice!")
    'swing_the_rope_twice'
    """
    words = re.sub(r"[\W_]+", " ", unicodedata.normalize("NFC", title).casefold()).split()
    return cut("_".join(words), MOST_NAME).rstrip("_…")
