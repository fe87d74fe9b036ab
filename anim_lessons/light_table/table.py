"""The light table's widget: it keeps the action that is drawn on in the page.

The page shows a change at once and sends each pose with its revision (`revisions` tells the protocol). Here the pose is read
as strictly as a file (`poses`), answered with verdict and guide of that revision (`replies`), and saved a short while after
the last change (`saving`). The order of locks is stated in `storage.autosave`.
"""

import atexit
import threading
import weakref
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import anywidget
import traitlets

from ..assist import plan
from ..judging.brief import DEFAULT
from ..model.action import Action, ActionError
from . import desk, page_files, poses
from .replies import Replies
from .revisions import FromPage, Revisions, is_revision
from .saving import Saver
from .settings import Settings
from .still import Stays

BESIDE = ("sliders", "map", "plan")


class LightTable(FromPage, Stays, anywidget.AnyWidget):
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
        Lies under the drawings, to be traced: the same joints in as many drawings. It is not judged.
    delay : float
        Seconds without a change before it is saved.

    Attributes
    ----------
    action : Action
        What lies on the table. Setting it is a change as if by hand: it can be undone there.
    number : int
        Of the drawing under work, from 1.
    settings : dict
        As `Settings.to_page` gives it; set some of them with `choose`.
    saver : Saver
    """

    _esm = page_files.module("light_table")
    _css = page_files.style("light_table")

    asked = traitlets.Dict().tag(sync=True)  # of the assignment, as `desk.asked` has it
    head = traitlets.Dict().tag(sync=True)
    pose = traitlets.Dict().tag(sync=True)
    lines = traitlets.Dict().tag(sync=True)  # pencil lines, as `desk.lines` has them; the page sends them with a pose
    number = traitlets.Int(1).tag(sync=True)
    settings = traitlets.Dict(Settings().to_page()).tag(sync=True)
    verdict = traitlets.Dict().tag(sync=True)
    saved = traitlets.Dict().tag(sync=True)
    under = traitlets.Dict().tag(sync=True)
    guide = traitlets.Dict().tag(sync=True)
    mended = traitlets.Dict().tag(sync=True)
    beside = traitlets.Dict().tag(sync=True)  # names of BESIDE, and the model in the page of the widget that stands there
    film = traitlets.Dict().tag(sync=True)  # "says": what came of the moving picture that was asked for
    pencil = traitlets.Dict().tag(sync=True)  # "url" and "box" (mm) of the drawings that lie there on paper, by number
    beside_says = traitlets.Unicode().tag(sync=True)
    from_page = ("pose", "lines", "number", "settings", "mended")

    def __init__(self, action, store=None, brief=None, exercise="", withheld="", start=None, under=None,
                 delay=0.4, timer=threading.Timer):
        # JupyterLab sends a widget's messages on a thread of their own, and saving has one too.
        self._guard = threading.RLock()  # second in the order of locks
        self._revisions = Revisions(1)
        self._incoming = None  # pose of the message at hand, and the action read from it
        self.frames = None     # of `pictures.film`, unless drawings on paper lie here
        self._laid = None      # the pose last laid from this side, which is no change by hand
        self._action, self.store = action, store
        self._replies = Replies(brief or DEFAULT, start, withheld)
        self.saver = Saver(self, store, delay, timer)
        name = store.path.name if store else ""
        settings = Settings(way=self.brief.way)
        answer = self._replies.answer(action, settings)
        super().__init__(
            number=1 if withheld else answer.begin_with,
            settings=settings.to_page(),
            asked=desk.asked(self.brief),
            head=desk.head(action, name, exercise or Path(name).stem, store.path.absolute().parent.name if store else ""),
            pose=desk.pose(action, 1),
            lines=desk.lines(action, 1),
            verdict=self._replies.verdict(action, 1, settings),
            saved=self.saver.first(),
            under=self._under(under),
        )
        self.observe(self._drawn, "pose")
        self.observe(self._set, "settings")
        self.observe(self._turned_to, "number")
        self.on_msg(self._asked)
        alive.add(self)

    # ---- for the notebook, and for what stands beside the table ----------------------------

    @contextmanager
    def holding(self):
        """No other thread changes what lies on the table until the block ends. Call `save`, `close` and what `saver` does
        at the disk outside of it: no save may be waited for here."""
        with self._guard:
            yield self

    @property
    def action(self):
        return self._action

    @action.setter
    def action(self, action):
        if not isinstance(action, Action):
            raise ActionError(f"an Action belongs on the light table, not a {type(action).__name__}")
        with self._guard:
            self.lay(action)
            self.saver.changed()

    def lay(self, action, above=0):
        """Lay an action on the table without saving it; the new revision, higher than `above`."""
        with self._guard:
            self._revisions.came(above)
            revision = self._revisions.next()
            self._action = action
            self._laid = desk.pose(action, revision)
            with self.hold_sync():  # other limbs, their drawings and lines go to the page together
                self.head = desk.head(action, self.head["file"], self.head["exercise"], self.head["folder"])
                self.lines = desk.lines(action, revision)
                self.pose = self._laid
                self._reply()
            return revision

    def begin(self):
        """Put the drawing that is to be drawn first on the table."""
        with self._guard:
            self.number = self._replies.answer(self._action, self._chosen()).begin_with

    @property
    def start(self):
        """The drawings as given, an Action, or None."""
        return self._replies.start

    @property
    def brief(self):
        """The Brief by which it is judged."""
        return self._replies.brief

    @brief.setter
    def brief(self, brief):
        with self._guard:
            self._judge_by(brief=brief or DEFAULT)
            self.asked = desk.asked(self.brief)

    @property
    def withheld(self):
        """The sentence shown in place of the verdict, or an empty text."""
        return self._replies.withheld

    @withheld.setter
    def withheld(self, sentence):
        self._judge_by(withheld=sentence)

    def choose(self, **settings):
        """Set some of the settings, by the names and in the types of `Settings`."""
        with self._guard:
            self.settings = replace(self._chosen(), **settings).to_page()

    def lay_under(self, action):
        """Lay an Action under the drawings, to be traced; None takes it away. Plans lie there always."""
        with self._guard:
            self.under = self._under(action)

    def lay_plans_under(self):
        """Have the plans under the drawings as the action has them now."""
        with self._guard:
            self.under = {**_without("plans", self.under), **plan.under(self._action)}

    def lay_pencil(self, drawings, frames=None):
        """Have pencil drawings for pictures of drawings: "url" and "box" (left, bottom, width, height, mm) by number.
        `frames` paints the action's frames with them, for the moving picture."""
        with self._guard:
            self.pencil = {str(number): one for number, one in drawings.items()}
            self.frames = frames

    def lay_beside(self, **widgets):
        """Have other widgets stand on the table's own desk, by the names of BESIDE: its sliders, its map, its plan."""
        unknown = set(widgets) - set(BESIDE)
        if unknown:
            raise ActionError(f"there is no place for {', '.join(sorted(unknown))} beside a table; there is {', '.join(BESIDE)}")
        self.beside = {**self.beside, **{name: widget.model_id for name, widget in widgets.items()}}

    def save(self):
        """Save at once what is not saved yet. `saved` tells how it went."""
        self.saver.autosave.flush()

    def close(self):
        self.save()
        alive.discard(self)
        if self.store is not None:
            self.store.close()
        super().close()

    def __repr__(self):
        return "LightTable"  # no address: a stored output must be the same on every run

    def on_paper(self):
        return self._action, self.number, self.head["file"]

    # ---- from the page ----------------------------------------------------------------

    @traitlets.validate("settings")
    def _settings_that_fit(self, proposal):
        return Settings.from_page(proposal["value"], self._chosen()).to_page()

    def set_state(self, sync_data):
        pose = sync_data.get("pose")
        sent = pose.get("revision") if isinstance(pose, dict) else None
        self._revisions.came(sent)  # before the guard: what waits there already is then known to be older
        with self._guard:
            if is_revision(sent) and sent < self.pose["revision"]:
                sync_data = _without("lines", _without("pose", sync_data))
            elif "lines" in sync_data and ("pose" not in sync_data or self._older(sync_data["lines"])):
                sync_data = _without("lines", sync_data)  # whoever sent them gets what holds
                self.send_state("lines")
            if not isinstance(sync_data.get("settings", {}), dict):
                sync_data = _without("settings", sync_data)
                self.send_state("settings")
            try:
                if self._revisions.leaps(sent):
                    raise ActionError("the page sent drawings of a revision far ahead")
                # Read first: what is refused must not be sent on to other views.
                self._incoming = (pose, poses.read(pose, self._action, sync_data.get("lines"))) if "pose" in sync_data else None
                super().set_state(sync_data)
            except (ActionError, traitlets.TraitError) as error:
                self._refuse(error if isinstance(error, ActionError) else "what the page sent does not fit the table", sent)

    def _older(self, lines):
        """Whether lines of the page, which may travel with a later pose, are older than those that lie here."""
        sent = lines.get("revision") if isinstance(lines, dict) else None
        return is_revision(sent) and sent < self.lines["revision"]

    def _drawn(self, change):
        """There is a new pose, from the page or set as a trait."""
        pose = change["new"]
        with self._guard:
            if pose == self._laid:
                return
            known, action = self._incoming or (None, None)
            if known is not pose:
                try:
                    action = poses.read(pose, self._action)
                except ActionError as error:
                    return self._refuse(error, pose.get("revision"))
                self._revisions.came(pose["revision"])
            self._action = action
            self.saver.changed()
            if pose["revision"] == self._revisions.newest:
                with self.hold_sync():  # both in one message, which is sooner in the page than two
                    self._reply()

    def _refuse(self, why, sent):
        """Put the last good drawings back, and say why."""
        with self._guard, self.hold_sync():
            self.lay(self._action, above=sent)
            why = str(why).rstrip(".")
            self.verdict = {**self.verdict,
                            "next": f"go on from here: {why}. It was not taken; the drawings are as they were before."}

    def _asked(self, _, content, buffers):
        ask = content.get("ask") if isinstance(content, dict) else None
        if ask == "verdict":
            with self._guard:
                self._reply()
                self.send_state(["pose", "verdict", "guide", "saved"])  # even where nothing differs: it is an answer
        elif ask == "mend":
            with self._guard:
                self.mended = self._replies.correction(self._action, self.pose["revision"], content.get("finding"), self._chosen())
        elif ask == "film" and self.store is not None:
            frames = None if content.get("paper") is False else self.frames
            threading.Thread(target=self._make_film, args=(self._action, frames), daemon=True).start()
        elif ask == "take the file's":
            self.saver.take_the_files()

    def _make_film(self, action, frames):
        """Make the moving picture beside the file. On a thread of its own, for it takes a while."""
        from ..pictures.export import export

        path = self.store.path.with_suffix(".gif")
        try:
            export(action, path, frames=frames)
            says = f"The moving picture is {path.name}, in the folder {path.absolute().parent.name}."
        except (ActionError, OSError) as error:
            says = f"No moving picture was made: {error}"
        self.film = {}  # so that the same answer twice is an answer twice
        self.film = {"says": says}

    # ---- replies ------------------------------------------------------------------------

    def _set(self, change):
        with self._guard:
            old, new = (Settings.from_page(change[which]) for which in ("old", "new"))
            if (old.chart, old.way, old.stays) != (new.chart, new.way, new.stays):
                self._judge()
            if (old.guide, old.guess, old.stays) != (new.guide, new.guess, new.stays):
                self._guide()

    def _turned_to(self, _):
        with self._guard:
            self._guide()

    def _judge_by(self, **change):
        with self._guard:
            self._replies = replace(self._replies, **change)
            self._reply()

    def _reply(self):
        self._judge()
        self._guide()

    def _judge(self):
        self.verdict = self._replies.verdict(self._action, self.pose["revision"], self._chosen())

    def _guide(self):
        self.guide = self._replies.guide(self._action, self.pose["revision"], self.number, self._chosen())

    def _chosen(self):
        return Settings.from_page(self.settings, Settings(way=self.brief.way))

    def _under(self, action):
        planned = plan.under(self._action)  # lies there wherever the file is opened
        return planned if action is None else {"drawings": poses.under(action, self._action), **planned}


def _without(name, state):
    return {key: value for key, value in state.items() if key != name}


alive = weakref.WeakSet()


@atexit.register
def save_all():
    for table in list(alive):
        table.save()
