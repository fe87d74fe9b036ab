"""The verdict on a hand-in: what an assignment makes of drawings, the same for check cell, class table and command line.

What is handed in is judged on the sheet that was given: its names, lengths, stops, rate and loop are those of the start
drawings, whatever stands in the learner's file. A figure of the other side is judged by the start in a mirror. First comes
the state (nothing drawn, begun, to mend, done, other work), then the marks of the rules and of what the brief asks, then
the share. That a state is worth more than a number to who marks: common practice, no source. How the share is reckoned is
our choice.
"""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from ..judging.brief import DEFAULT
from ..judging.judge import check, check_many
from ..model.limb import Limb
from ..model.printable import cut, visible
from ..model.words import run
from ..rules import RULES
from ..rules.finding import Verdict
from .limb_passes import HARDLY, SAME
from .passes import Progress
from .so_far import judged_so_far

NOTHING, BEGUN, TO_MEND, DONE, OTHER = "nothing drawn", "begun", "to mend", "done", "other work"
STATES = (DONE, TO_MEND, BEGUN, NOTHING, OTHER)
KEPT, FOLLOWS, NOT_JUDGED, UNMET = "kept", "follows", "not judged", "to mend"
SAME_SHEET = 0.05       # mm of a length, degrees of a stop: nearer to the one given it was only rounded
MOST = 0.99             # of the share where something is left to do: the whole is only for what passes
LONGEST = 80            # letters of what somebody else's drawings are called


@dataclass(frozen=True)
class HandIn:
    """What is said of one hand-in.

    Attributes
    ----------
    state : str
        Of STATES.
    action : Action
        The drawings, on the sheet that was given; as handed in where it is other work.
    marks : dict of str to str
        A word a rule, in the order of flipping, then one for each thing the brief asks of the stack: KEPT; FOLLOWS where
        all that breaks the rule follows from a cause under another; NOT_JUDGED; UNMET; or "mend at 13". Empty where nothing
        is drawn, and of other work.
    share : float or None
        What holds of what is asked, by weight, 0 to 1: 1 exactly where it is done. Of drawings only begun it is also the share
        that is drawn; where the start is a loop with faults, the share of what was to be mended. None where nothing is
        drawn, of other work, and as long as it is not known what was given.
    says : str
        What to begin with, or why there is nothing to judge.
    notes : tuple of str
        What an instructor may want to know, and no fault.
    verdict : Verdict or None
    progress : Progress or None
    asks : tuple of (str, bool, str)
        What the brief asks of the stack, as `Brief.asks`.
    drawn : float
        Share of the parts to be drawn that are drawn, 0 to 1.
    """

    state: str
    action: object
    marks: dict = field(default_factory=dict)
    share: float | None = None
    says: str = ""
    notes: tuple = ()
    verdict: Verdict | None = None
    progress: Progress | None = None
    asks: tuple = ()
    drawn: float = 1.0


def hand_in(action, brief=DEFAULT, start=None):
    """One hand-in judged; many of one assignment are judged by `Assignment.hand_ins`.

    Parameters
    ----------
    action : Action
    brief : Brief, optional
    start : Action, optional
        The drawings that were given.

    Returns
    -------
    HandIn
    """
    return Assignment(brief, start).hand_in(action)


def on_given_sheet(action, start):
    """Drawings under work on the sheet that was given, as they will be judged when they are handed in.

    Returns
    -------
    Action
        As it is, where its limbs are others than those given, or nothing is known of what was.
    Action or None
        The start for it: in a mirror for a figure of the other side.
    """
    if start is None:
        return action, None
    given, pairs = Assignment(start=start)._given_for(action)
    if pairs is None or any(limb.name != of.name for limb, of in pairs):
        return action, start
    return _laid(action, given, pairs)[0], given


def asked(brief):
    """The rules of a brief in the order in which an instructor flips."""
    marked = [name for name in brief.rules if RULES[name].flip is not None]
    return tuple(sorted(marked, key=lambda name: RULES[name].flip))


@dataclass(frozen=True, eq=False)
class Assignment:
    """What was given out: a Brief, and the start drawings as an Action, or None where they are not known."""

    brief: object = DEFAULT
    start: object = None

    def hand_in(self, action):
        """The HandIn of an Action."""
        (one,) = self.hand_ins([action])
        return one

    def hand_ins(self, actions, advice=True):
        """The HandIn of each of some Actions, a list; those that are drawn through go through the rules together. `advice` as for
        `check_many`."""
        looked_at = [self._looked_at(action) for action in actions]
        whole = [one for one in looked_at if one.state == "" and not one.progress.undrawn]
        verdicts = dict(zip(map(id, whole), check_many([one.action for one in whole], self.brief, advice)))
        return [one if one.state else self._judged(one, verdicts.get(id(one))) for one in looked_at]

    def _looked_at(self, action):
        """A HandIn with its state where no rule need be asked, else without one."""
        if self.start is None:
            return HandIn("", action, progress=Progress(action))
        if _sheet(action) == self._sheet and not action.lecture:
            start, laid, notes = self.start, action, ()
        else:
            start, pairs = self._given_for(action)
            if pairs is None:
                return HandIn(OTHER, action, says=f"these are drawings of {_figure(action)}; given were {_figure(self.start)}")
            laid, notes = _laid(action, start, pairs)
        progress = Progress(laid, start, handed_in=True, brief=self.brief)
        why = self._untouched(laid, progress)
        if why:
            return HandIn(NOTHING, laid, says=why, notes=notes, progress=Progress(laid, start))
        return HandIn("", laid, notes=notes, progress=progress)

    # ---- the sheet that was given --------------------------------------------------------

    @cached_property
    def _sheet(self):
        return _sheet(self.start)

    @cached_property
    def _mirrored(self):
        return self.start.mirrored()

    def _given_for(self, action):
        """The start, or the start in a mirror where the sheet of the action is that; and which of its limbs is which of the
        action's, or None where they are others."""
        pairs = _pairs(action, self.start)
        if pairs is None or all(_same_stops(limb, given) for limb, given in pairs):
            return self.start, pairs
        mirrored = _pairs(action, self._mirrored)
        if all(_same_stops(limb, given) for limb, given in mirrored):
            return self._mirrored, mirrored
        return self.start, pairs

    # ---- what is drawn -----------------------------------------------------------------------

    @cached_property
    def _traced(self):
        """Of each limb given, the parts that were only traced and are to be drawn, bool (segments,)."""
        return {name: limb.missing.any(axis=0) for name, limb in Progress(self.start, self.start).limbs.items()}

    @cached_property
    def _to_draw(self):
        return any(parts.any() for parts in self._traced.values())

    def _untouched(self, action, progress):
        """Why nothing counts as drawn, or an empty text."""
        if action.drawn_as(self.start):
            return "the drawings are as given"
        if self._to_draw:
            still = all((limb.turned < HARDLY)[self._traced[name]].all() for name, limb in progress.limbs.items())
            return "nothing is drawn yet: what was traced hardly turns" if still else ""
        if any(_only_of(action, given) for given in (self.start, self._mirrored)):
            return "the drawings are as given, in another place, order or number"
        return ""

    def _drawn(self, progress):
        """Share of the parts to be drawn that are drawn, 0 to 1."""
        if not progress.undrawn or self.start is None:
            return 1.0
        asked = sum(int(parts.sum()) for parts in self._traced.values()) * progress.action.count
        missing = sum(int(limb.missing.sum()) for limb in progress.limbs.values())
        return 1.0 - missing / asked if asked else 1.0

    # ---- the verdict -------------------------------------------------------------------------

    @cached_property
    def _asked(self):
        return asked(self.brief)

    def _judged(self, one, verdict):
        """The whole HandIn of what was looked at; the verdict on drawings that are only begun is asked for here."""
        brief, action, progress, notes = self.brief, one.action, one.progress, one.notes
        verdict = verdict or judged_so_far(progress, brief).verdict
        asks = tuple(brief.asks(action))
        state = BEGUN if progress.untouched is not None else DONE if verdict.passed else TO_MEND
        marks = _marks(verdict, self._asked, asks)
        left = [cause.head for cause in verdict.causes] + list(verdict.unmet) + [says for _, met, says in asks if not met]
        if self.start is not None and not self._to_draw:
            notes = (*notes, *self._changed(action, progress.start))
        drawn = self._drawn(progress)
        share = self.share(state, marks, drawn)
        return HandIn(state, action, marks, share, left[0] if left else "every rule kept", notes, verdict, progress, asks, drawn)

    def share(self, state, marks, drawn=1.0):
        """What holds of what is asked, 0 to 1 or None, as HandIn has it, for these marks and so much of the parts drawn."""
        if state == DONE:
            return 1.0
        held = _held(marks, self.brief)
        if self.start is None or held is None:
            return None     # drawings that were only traced keep most rules: without the start nobody could tell
        if self._to_draw:
            held *= drawn
        elif self._held_at_first < 1.0:
            held = (held - self._held_at_first) / (1.0 - self._held_at_first)
        return min(max(held, 0.0), MOST)

    @cached_property
    def _at_first(self):
        """The Verdict on the start."""
        return check(self.start, self.brief)

    @cached_property
    def _held_at_first(self):
        """What the start holds already: a loop that is to be mended, handed in as it was given, is worth nothing."""
        return _held(_marks(self._at_first, self._asked, self.brief.asks(self.start)), self.brief) or 0.0

    def _changed(self, action, start):
        """How many drawings of a loop that was given whole are other ones now."""
        if action.count != start.count:
            return ()
        given = {limb.name: limb.drawings for limb in start.limbs}
        other = np.any([np.abs(limb.drawings - given[limb.name]).max(axis=(1, 2)) > SAME for limb in action.limbs], axis=0)
        faulty = {number for cause in self._at_first.causes for number in cause.drawings}
        given_in = f"; the faults lay in {len(faulty)}" if faulty else ""
        return (f"{int(other.sum())} of {action.count} drawings are other ones than given{given_in}",)


def _sheet(action):
    """The sheet that was given, as it stands in nearly every hand-in: names, lengths, stops, loop and rate."""
    return [(limb.name, limb.joints, limb.lengths.tobytes(), limb.stops.tobytes()) for limb in action.limbs], action.loop, action.rate


def _pairs(action, start):
    """Each limb of the action with the one given of the same joints, the same name first; None where some has none."""
    if len(action.limbs) != len(start.limbs):
        return None
    left, pairs = list(start.limbs), {}
    for same_name in (True, False):
        for limb in action.limbs:
            fits = [given for given in left if given.joints == limb.joints and (given.name == limb.name or not same_name)]
            if fits and limb.name not in pairs:
                pairs[limb.name] = fits[0]
                left.remove(fits[0])
    return None if left else [(limb, pairs[limb.name]) for limb in action.limbs]


def _same_stops(limb, given):
    """True where the stops are those given; the first part's may be told a whole turn on."""
    if limb.stops.tobytes() == given.stops.tobytes():
        return True
    apart = limb.stops - given.stops
    if len(apart):
        apart[0] -= 360.0 * np.round(apart[0] / 360.0)
    return bool((np.abs(apart) < SAME_SHEET).all())


def _laid(action, start, pairs):
    """The drawings on the sheet that was given, and what of their own sheet was another."""
    if all(map(_on_this_sheet, *zip(*pairs))) and action.loop == start.loop and action.rate == start.rate and not action.lecture:
        return action, ()
    limbs = tuple(_on_the_sheet_of(given, limb) for limb, given in pairs)
    notes = []
    if any((np.abs(limb.lengths - given.lengths) > SAME_SHEET).any() for limb, given in pairs):
        notes.append("the file has other lengths than the model sheet; judged by those given")
    if not all(_same_stops(limb, given) for limb, given in pairs):
        notes.append("the file has other stops than the model sheet; judged by those given")
    if action.loop != start.loop:
        notes.append(f"the file says that it does {'not loop' if start.loop else 'loop'}; judged as given")
    if action.rate != start.rate:
        notes.append(f"the file runs at {action.rate} frames a second, given were {start.rate}")
    if limbs == action.limbs and action.loop == start.loop and action.rate == start.rate and not action.lecture:
        return action, tuple(notes)
    return action.replace(limbs=limbs, loop=start.loop, rate=start.rate, lecture=()), tuple(notes)


def _on_this_sheet(limb, given):
    """True where the limb has the name, lengths and stops of the one given."""
    return limb.name == given.name and np.array_equal(limb.lengths, given.lengths) and np.array_equal(limb.stops, given.stops)


def _on_the_sheet_of(given, limb):
    """The limb with the names, lengths and stops of the one given; the limb itself where it has them."""
    if _on_this_sheet(limb, given):
        return limb
    return Limb(given.name, given.joints, given.lengths, given.stops, limb.drawings, limb.plans)


def _only_of(action, start):
    """True where each drawing is one of the start's, all shifted alike: another order or number of drawings is no drawing."""
    given = {limb.name: limb.drawings for limb in start.limbs}
    here = np.concatenate([limb.drawings for limb in action.limbs], axis=1)
    there = np.concatenate([given[limb.name] for limb in action.limbs], axis=1)
    shift = here.mean(axis=(0, 1)) - there.mean(axis=(0, 1))
    return any(all(np.abs(there - drawing).max(axis=(1, 2)).min() < SAME for drawing in here - by) for by in (0.0, shift))


def _figure(action):
    """The limbs of somebody's drawings in a sentence."""
    told = [f"{limb.name} ({', '.join(limb.joints)})" for limb in action.limbs]
    return cut(visible(" and ".join(told)), LONGEST)


def _marks(verdict, rules, asks):
    """A word for each of the rules, and one for each thing asked of the stack."""
    return {rule: _mark(rule, verdict) for rule in rules} | {name: KEPT if met else UNMET for name, met, _ in asks}


def _mark(rule, verdict):
    if not verdict.rules[rule].judged:
        return NOT_JUDGED
    if verdict.rules[rule].passed:
        return KEPT
    causes = [cause for cause in verdict.causes if cause.rule == rule]
    if not causes:
        return FOLLOWS
    at = f" at {run(causes[0].drawings)}" if causes[0].drawings else ""
    return f"mend{at}{' …' if len(causes) > 1 else ''}"


def _held(marks, brief):
    """Weight of what holds over the weight of all that is asked; None where nothing weighs anything.

    A rule under which everything only follows counts as holding, so that one slip costs once. A rule that could not be
    judged counts as not holding where the brief names its rules, and not at all where it does not. What the brief asks of the
    stack weighs as much as a rule of no other weight.
    """
    weights = {name: brief.weights.get(name, 1.0) for name, mark in marks.items() if brief.names_rules or mark != NOT_JUDGED}
    whole = sum(weights.values())
    return sum(weight for name, weight in weights.items() if marks[name] in (KEPT, FOLLOWS)) / whole if whole else None
