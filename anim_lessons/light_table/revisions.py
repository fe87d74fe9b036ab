"""How old is told from new between the page and Python: one protocol for every widget.

1. Whatever either side changes or asks carries a revision, a whole number one higher than the highest its sender has seen.
2. An answer carries the revision that it answers.
3. What is older than what lies there already is dropped; an answer that is older than what was asked last is not shown as
   fresh.
4. Two revisions alike were made at the same time, on either side or in two views. The one that comes last counts.

| widget      | what carries it                 | what answers it                                        |
|-------------|---------------------------------|--------------------------------------------------------|
| LightTable  | `pose["revision"]`              | "revision" in `verdict`, `guide`, `mended` and `saved` |
| Sliders     | `revision`, sent with `values`  | `revision`, one higher where Python moved them         |
| LagMap      | `revision`, sent with `chosen`  | `own["revision"]`                                      |
| PlanSheet   | "revision" in each message      | `answered`                                             |
| Strip       | "revision" in each message      | `answered`                                             |
| the form    | `revision`, sent with `values`  | `judged`                                               |
| PaperStrip  | "revision" in each message      | `answered`                                             |
| ClassPanel  | "revision" in each message      | `answered`                                             |
"""

import threading

import traitlets

from ..model.action import ActionError

END = 2**53  # the page counts exactly up to here (ECMA-262, Number.MAX_SAFE_INTEGER, from memory)

LEAP = 2**31  # changes


def is_revision(value):
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value < END


class Revisions:
    """The highest revision seen so far; any thread may ask."""

    def __init__(self, newest=0):
        self._lock = threading.Lock()
        self._newest = newest

    @property
    def newest(self):
        return self._newest

    def leaps(self, revision):
        """Whether a revision is further ahead than any page gets; after it there might be no room to count on."""
        return is_revision(revision) and revision > self._newest + LEAP

    def came(self, revision):
        """This one came from the page. What is no revision is passed over."""
        if is_revision(revision) and not self.leaps(revision):
            with self._lock:
                self._newest = max(self._newest, revision)

    def next(self):
        """The revision of a change from this side."""
        with self._lock:
            self._newest += 1
            return self._newest


class FromPage(traitlets.HasTraits):
    """A widget of whose traits the page sets some; what it sends of the others is dropped."""

    from_page = ()  # names of the traits

    def set_state(self, sync_data):
        not_its_own = [name for name in sync_data if name in self.keys and name not in self.from_page]
        if not_its_own:
            sync_data = {name: value for name, value in sync_data.items() if name not in not_its_own}
            self.send_state(not_its_own)
        super().set_state(sync_data)


class Revised(FromPage):
    """A widget whose page sends `revision` with each change of its traits."""

    revision = traitlets.Int(0).tag(sync=True)
    of_revision = ()  # names of the traits that are dropped with an old revision

    def set_state(self, sync_data):
        if "revision" in sync_data:
            sent = sync_data["revision"]
            if not is_revision(sent) or sent < self.revision:
                dropped = {"revision", *self.of_revision} & set(sync_data)
                sync_data = {name: value for name, value in sync_data.items() if name not in dropped}
                self.send_state(list(dropped))  # the view that sent it shows it: it gets what holds
        super().set_state(sync_data)


class Answering(FromPage):
    """A widget whose page asks by message: {"ask": name, "what": anything, "revision": of this message}.

    Attributes
    ----------
    answered : int
        Revision of the newest message that had its answer.
    """

    answered = traitlets.Int(0).tag(sync=True)

    def asks(self):
        """What the page may ask for: a function of "what" by name. One that raises ActionError has refused."""
        raise NotImplementedError

    def refused(self, why):
        """Say that what was asked was not done; `why` is a sentence without its full stop."""
        raise NotImplementedError

    def _sent(self, _, content, buffers):
        asks = self.asks()
        ask = content.get("ask") if isinstance(content, dict) else None
        if not isinstance(ask, str) or ask not in asks:
            return
        revision = content.get("revision", self.answered + 1)
        try:
            if not is_revision(revision) or revision < self.answered:
                raise ActionError("something else was done meanwhile; look at it, then do this once more")
            asks[ask](content.get("what"))
        except ActionError as error:
            self.refused(str(error).rstrip("."))
        finally:  # whatever went wrong, the page waits no longer
            if is_revision(revision):
                self.answered = max(self.answered, revision)
