"""What a sweep through a walking network must remember of the walk so far, and how each step changes it.

The sweep keeps the corners that still have passages ahead in numbered *slots*. Of the part of the walk that lies
behind only this matters: which of these corners it meets, with an odd or even number of passages, and which of them
hang together. Ratliff and Rosenthal's seven states (Oper. Res. 31, 1983, 507-521) are those of two slots;
Roodbergen and de Koster (Eur. J. Oper. Res. 133, 2001, 32-43, doi:10.1016/S0377-2217(00)00177-6) treat three;
Pansart, Catusse and Cambazard (Comput. Oper. Res. 100, 2018) any number.

A state is a tuple with one entry per slot: 0 for a corner not met, otherwise 2·piece + (1 if odd), pieces numbered
from 1 in the order of the slots. :data:`DONE` is the finished walk. An *effect* says what a step does:

- ``("span", i, j, option)``: the passage between the corners in slots i and j is walked as the option says;
- ``("advance", i, -1, option)``: the same towards a new corner, which takes over the slot of the old one;
- ``("retire", i, -1, 0)``: the corner in slot i has no passage left: it must be even, and not leave a piece behind;
- ``("touch", i, -1, 0)``: the walk must meet this corner (the bench);
- ``("flip", i, -1, 0)``: the walk starts or ends here, and not in the same place: one passage more or less.

Options of a passage: not walked; once through; twice; in and out from its first corner; from its second; from both,
leaving out a gap.

>>> apply((0, 0), ("span", 0, 1, PASS))
(3, 3)
>>> apply((3, 3), ("span", 0, 1, PASS))
(2, 2)
>>> apply((2, 4), ("retire", 0, -1, 0)) is None  # a piece would be left behind
True
>>> apply((2, 0), ("retire", 0, -1, 0)) == DONE
True
"""

from collections.abc import Sequence
from typing import TypeAlias

NONE, PASS, TWICE, LOW, HIGH, BOTH = range(6)

State: TypeAlias = tuple[int, ...]
Effect: TypeAlias = tuple[str, int, int, int]

DONE: State = (-1,)


def apply(state: State, effect: Effect) -> State | None:
    """The state after the effect, or None if no walk can go on like that."""
    kind, i, j, option = effect
    if state == DONE:
        return DONE if kind == "retire" or (kind in ("span", "advance") and option == NONE) else None
    if kind == "span":
        return _numbered(_span(state, i, j, option))
    if kind == "advance":
        new = len(state)
        longer = _retired(_span((*state, 0), i, new, option), i)
        if longer is None or longer == DONE:
            return longer
        return _numbered((*longer[:i], longer[new], *longer[i + 1 : new]))
    if kind == "retire":
        after = _retired(state, i)
        return after if after is None or after == DONE else _numbered(after)
    touched = _touched(state, i)
    if kind == "flip":
        touched = (*touched[:i], touched[i] ^ 1, *touched[i + 1 :])
    return _numbered(touched)


def _touched(state: State, i: int) -> State:
    if state[i]:
        return state
    return (*state[:i], 2 * (max(state) // 2 + 1), *state[i + 1 :])


def _span(state: State, i: int, j: int, option: int) -> State:
    if option in (PASS, TWICE, LOW, BOTH):
        state = _touched(state, i)
    if option in (PASS, TWICE, HIGH, BOTH):
        state = _touched(state, j)
    if option not in (PASS, TWICE):
        return state
    odd = option == PASS
    mine, other = state[i] // 2, state[j] // 2
    return tuple(
        (2 * mine + (met & 1) if met // 2 == other else met) ^ (odd and slot in (i, j))
        for slot, met in enumerate(state)
    )


def _retired(state: State, i: int) -> State | None:
    met = state[i]
    after = (*state[:i], 0, *state[i + 1 :])
    if met == 0:
        return after
    if met & 1:
        return None
    if any(other // 2 == met // 2 for other in after):
        return after
    return None if any(after) else DONE


def _numbered(state: State) -> State:
    numbers: dict[int, int] = {}
    return tuple(2 * numbers.setdefault(met // 2, len(numbers) + 1) + (met & 1) if met else 0 for met in state)


def reachable(width: int, steps: Sequence[Sequence[Effect]]) -> tuple[list[State], dict[Effect, dict[State, State]]]:
    """All states that a sweep can be in, [0] the beginning and [1] the finished walk, and where each effect leads.

    Args:
        width: number of slots.
        steps: for each step of the sweep its effects, one of which happens.
    """
    beginning: State = (0,) * width
    leads: dict[Effect, dict[State, State]] = {}
    numbers: dict[State, None] = {beginning: None, DONE: None}
    current = [beginning]
    for effects in steps:
        following: dict[State, None] = {}
        for effect in effects:
            known = leads.setdefault(effect, {})
            for state in current:
                after = known[state] if state in known else apply(state, effect)
                if after is not None:
                    known[state] = after
                    following[after] = None
        current = list(following)
        numbers.update(following)
    return list(numbers), leads
