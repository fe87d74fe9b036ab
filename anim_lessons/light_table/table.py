"""The light table: the hand draws in the browser, the action lives here.

The page answers the hand at once and sends each pose with its revision. Here it
is read as strictly as a file, judged by the rules, answered with the verdict of that
very revision, and saved a moment after the last change.
"""

import atexit
import threading
import weakref
from datetime import datetime
from pathlib import Path

import anywidget
import traitlets

from ..assist import plan
from ..judging.brief import DEFAULT, WAYS
from ..model import action_file
from ..model.action import Action, ActionError
from ..storage.autosave import Autosave
from ..storage.store import StoreError
from . import desk, joined
from .answer import Answer
from .guided import guided, mended
from .picture import svg

AGAIN = 5.0  # seconds after which a save that failed is tried again
SETTINGS = {"onion": 3, "keep_lengths": True, "paths": True, "lecture": False}


class LightTable(anywidget.AnyWidget):
    """A light table with one action on it.

    Parameters
    ----------
    action : Action
    store : Store, optional
        Where it is saved. Without one nothing is saved.
    brief : Brief, optional
        Which rules judge it; every rule that applies if left out.
    exercise : str, optional
        Under which name the page keeps drawings while the kernel is away.
    withheld : str, optional
        A sentence to show in place of the verdict: for exercises in which the learner looks first.
    start : Action, optional
        The drawings as given; the desk says so as long as nothing has been changed.
    under : Action, optional
        Lies under the drawings, to be traced: the same joints in as many drawings. Nobody judges it there.
    delay : float
        Seconds without a change before it is saved.

    Attributes
    ----------
    action : Action
        What lies on the table. Setting it is a change as if by hand: it can be undone there.
    """

    _esm = joined.module("light_table")
    _css = joined.style("light_table")

    head = traitlets.Dict().tag(sync=True)
    pose = traitlets.Dict().tag(sync=True)
    number = traitlets.Int(1).tag(sync=True)
    settings = traitlets.Dict(SETTINGS).tag(sync=True)
    verdict = traitlets.Dict().tag(sync=True)
    saved = traitlets.Dict().tag(sync=True)
    under = traitlets.Dict().tag(sync=True)
    guide = traitlets.Dict().tag(sync=True)
    mended = traitlets.Dict().tag(sync=True)

    def __init__(self, action, store=None, brief=None, exercise="", withheld="", start=None, under=None,
                 delay=0.4, timer=threading.Timer):
        # JupyterLab sends a widget's messages on a thread of their own, and saving has one too.
        self._guard = threading.RLock()
        self._newest = self._incoming = self._ours = None  # _ours: the pose last laid from this side; its echo is no change by hand
        self._revision = 1
        self._action, self.store, self._withheld = action, store, withheld
        self._answered = None
        self._brief, self._start = brief or DEFAULT, start
        self._autosave = Autosave(self._save, delay, timer=timer)
        name = store.path.name if store else ""
        super().__init__(
            settings={**SETTINGS, "way": self._brief.way},
            head=desk.head(action, name, exercise or Path(name).stem),
            pose=desk.pose(action, 1),
            verdict=self._judge(action, 1),
            saved={"state": "as in the file", "at": "", "why": "", "file": name, "revision": 1, "says": ""},
            under=self._under(under),
        )
        self.observe(self._drawn, "pose")
        self.observe(self._set, "settings")
        self.observe(self._turned_to, "number")
        self.on_msg(self._asked)
        alive.add(self)

    # ---- for the notebook -----------------------------------------------------------

    @property
    def action(self):
        return self._action

    @action.setter
    def action(self, action):
        if not isinstance(action, Action):
            raise ActionError(f"an Action belongs on the light table, not a {type(action).__name__}")
        with self._guard:
            self._lay(action)
            self._changed()

    @property
    def brief(self):
        """The Brief by which it is judged."""
        return self._brief

    @brief.setter
    def brief(self, brief):
        with self._guard:
            self._brief = brief or DEFAULT
            self._judge_again()

    @property
    def withheld(self):
        """The sentence shown in place of the verdict, or an empty text."""
        return self._withheld

    @withheld.setter
    def withheld(self, sentence):
        with self._guard:
            self._withheld = sentence
            self._judge_again()

    def lay_under(self, action):
        """Lay an Action under the drawings, to be traced; None takes it away."""
        self.under = self._under(action)

    def _under(self, action):
        planned = plan.under(self._action)      # lies there wherever the file is opened
        if action is None:
            return planned
        mine, others = ([(limb.name, len(limb.joints)) for limb in a.limbs] for a in (self._action, action))
        if mine != others:
            raise ActionError("the under-drawing has other limbs or joints than the drawings; give one of the same make")
        if action.count != self._action.count:
            raise ActionError(f"the under-drawing has {action.count} drawings and the table {self._action.count}; "
                              "give one for each")
        return {"drawings": [limb.drawings.tolist() for limb in action.limbs], **planned}

    def save(self):
        """Save at once what is not saved yet. `saved` tells how it went."""
        self._autosave.flush()

    def close(self):
        self.save()
        alive.discard(self)
        if self.store is not None:
            self.store.close()
        super().close()

    def __repr__(self):
        return "LightTable"  # no address: a stored output must be the same on every run

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        data, metadata = bundle if isinstance(bundle, tuple) else (bundle or {}, {})
        return {**data, "image/svg+xml": svg(self._action, self.number)}, metadata

    # ---- from the page ----------------------------------------------------------------

    def set_state(self, sync_data):
        pose = sync_data.get("pose")
        if "pose" in sync_data:
            self._newest = pose  # before the guard: whoever waits there may be too old to judge
        with self._guard:
            try:
                # Read first: what is refused must not be sent on to other views.
                self._incoming = (pose, self._read(pose)) if "pose" in sync_data else None
                super().set_state(sync_data)
            except (ActionError, traitlets.TraitError) as error:
                self._refuse(error if isinstance(error, ActionError) else "what the page sent does not fit the table")

    def _drawn(self, change):
        """There is a new pose, from the page or set as a trait."""
        pose = change["new"]
        with self._guard:
            if pose == self._ours:
                return
            known, action = self._incoming or (None, None)
            if known is not pose:
                try:
                    action = self._read(pose)
                except ActionError as error:
                    return self._refuse(error)
            self._action = action
            self._revision = max(self._revision, pose["revision"])
            self._changed()
            if self._newest is None or self._newest == pose:
                with self.hold_sync():  # one message for both: a hand is waiting
                    self.verdict = self._judge(action, pose["revision"])
                    self.guide = self._guided()

    def _read(self, pose):
        """The action of a pose, or an ActionError that says what is wrong with it."""
        if not isinstance(pose, dict):
            raise ActionError("what the page sent is no drawing")
        revision, drawings = pose.get("revision"), pose.get("drawings")
        limbs = self._action.limbs
        if not _is_revision(revision):
            raise ActionError("the drawings carry no revision")
        if not isinstance(drawings, list) or len(drawings) != len(limbs):
            raise ActionError(f"drawings of {len(limbs)} limbs belong on this table")
        document = action_file.document(self._action)
        document["exposure"] = pose.get("exposure")
        for limb, drawn in zip(document["limbs"], drawings):
            limb["drawings"] = drawn
        return action_file.from_document(document)

    def _refuse(self, why):
        """Put the last good drawings back, and say why."""
        with self._guard, self.hold_sync():
            self._lay(self._action, self._newest)
            why = str(why).rstrip(".")
            self.verdict = {**self.verdict,
                            "next": f"go on from here: {why}. It was not taken; the drawings are as they were before."}

    def _asked(self, _, content, buffers):
        ask = content.get("ask") if isinstance(content, dict) else None
        if ask == "verdict":
            with self._guard:
                self._judge_again()
                self.send_state(["pose", "verdict", "guide", "saved"])  # even where nothing differs: it is an answer
        elif ask == "mend":
            with self._guard:
                place = content.get("finding")
                self.mended = {} if self._withheld else mended(self._answer(), self.pose["revision"], place)
        elif ask == "take the file's":
            self.take_the_files()

    def _set(self, change):
        with self._guard:
            if any(change["old"].get(key) != change["new"].get(key) for key in ("chart", "way")):
                self.verdict = self._judge(self._action, self.pose["revision"])
            if change["old"].get("guide") != change["new"].get("guide"):
                self.guide = self._guided()

    def _turned_to(self, _):
        with self._guard:
            self.guide = self._guided()

    # ---- judging ------------------------------------------------------------------------

    def _lay(self, action, refused=None):
        """Put an action on the table from this side, under a revision the page has not seen."""
        sent = refused.get("revision") if isinstance(refused, dict) else None
        if _is_revision(sent):
            self._revision = max(self._revision, sent)
        self._revision += 1
        self._action = action
        self._newest = None
        self._ours = desk.pose(action, self._revision)
        with self.hold_sync():  # other limbs and their drawings go to the page together
            self.head = desk.head(action, self.head["file"], self.head["exercise"])
            self.pose = self._ours
            self.verdict = self._judge(action, self._revision)
            self.guide = self._guided()

    def _judge(self, action, revision):
        at = _clock()
        if self._withheld:
            return {"revision": revision, "passed": None, "at": at, "next": self._withheld, "rules": {},
                    "findings": [], "advice": [], "bends": [],
                    "charts": [desk.timing(action, limb, limb.joints[-1]) for limb in action.limbs]}
        return desk.judged(self._answer(action), revision, at, self.settings.get("chart"))

    def _judge_again(self):
        self.verdict = self._judge(self._action, self.pose["revision"])
        self.guide = self._guided()

    def _guided(self):
        """Where the joint that the page asks about may go on the drawing under work."""
        if self._withheld:
            return {}
        return guided(self._answer(), self.pose["revision"], self.number, self.settings.get("guide"))

    def _answer(self, action=None):
        """What is worked out of the drawings, once for each pose, brief and way."""
        way = self.settings.get("way")
        asked = action or self._action, self._brief, self._start, way if way in WAYS else None
        if self._answered is None or any(one is not other for one, other in zip(self._answered[0], asked)):
            self._answered = asked, Answer(*asked)
        return self._answered[1]

    # ---- saving ---------------------------------------------------------------------------

    def _changed(self):
        if self.store is not None:
            self._autosave.changed()
        else:
            self.tell(revision=self.pose["revision"])  # a model: nothing of it waits to be saved

    def _save(self):
        with self._guard:
            revision, data = self.pose["revision"], action_file.dumps(self._action)
        try:
            done = self.store.save(data)
        except StoreError as error:
            self.tell(state="failed", why=error.why or str(error), says=str(error))
            return self._autosave.changed(after=AGAIN)  # somebody may have made room by then
        self.tell(state="elsewhere" if done.conflict else "saved", at=f"{done.at:%H:%M}", file=done.path.name,
                   revision=revision, says=done.says or _open_too(self.store))

    def tell(self, **news):
        with self._guard:
            self.saved = {**self.saved, "why": "", "says": "", **news}

    def take_the_files(self):
        self._autosave.forget()
        try:
            data = self.store.take_the_files() if self.store else action_file.dumps(self._action)
            action = action_file.loads(data, self.store.path.name if self.store else "")
        except (StoreError, ActionError) as error:
            self.tell(state="failed", why=getattr(error, "why", "") or "the file cannot be read", says=str(error))
            return
        with self._guard:
            self._lay(action)
            self.as_in_the_file()

    def begin_again(self, start):
        """Lay these drawings in the place of a file that somebody took away. What lay on the table is saved first, so
        that it stays among the versions kept."""
        with self._guard:
            self._autosave.forget()
            self._save()
            self._lay(start)
            self._save()
            if self.saved["state"] == "saved":
                self.as_in_the_file()

    def as_in_the_file(self):
        """Nothing on the table differs from the file."""
        self.tell(state="as in the file", at=_saved_at(self.store), file=self.store.path.name if self.store else "",
                   revision=self.pose["revision"], says=_open_too(self.store) if self.store else "")


def _open_too(store):
    """A sentence where somebody else has the file open, else an empty text."""
    others = [opening for opening in store.announce() if not opening.here]
    if not others:
        return ""
    since = min(opening.since for opening in others)
    return (f"{store.path.name} is open in another notebook too, since {since:%H:%M}. "
            "Draw in one of them only: what the second one changes is kept in a file beside it.")


def _saved_at(store):
    try:
        return f"{datetime.fromtimestamp(store.path.stat().st_mtime):%H:%M}" if store else ""
    except OSError:
        return ""


def _is_revision(value):
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 2**53  # what a page counts exactly


def _clock():
    return f"{datetime.now():%H:%M}"


alive = weakref.WeakSet()


@atexit.register
def save_all():
    for table in list(alive):
        table.save()
