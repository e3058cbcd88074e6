"""A spin check as lines of text, as data, and as it is written down."""

from collections.abc import Sequence
from typing import Final

from benchlink.core.bench_record import Override, Said
from benchlink.core.spin_answers import Answer, Means, SpinCheck
from benchlink.core.spin_expiry import Expiry
from benchlink.core.spin_findings import Finding, verdict
from benchlink.faces.output import Json
from benchlink.units import percent

RADIO: Final = "spun by radio"


def check_lines(check: SpinCheck, found: Sequence[Finding]) -> list[str]:
    """What was seen, what is wrong and what to do, and the outcome last."""
    lines = [f"{check.aircraft}, {check.operator}"]
    lines += [f"  {_seen(answer)}" for answer in check.answers]
    for finding in found:
        lines.append(f"! {finding.text}")
        lines += [f"    {remedy}" for remedy in finding.remedies]
    return [*lines, verdict(check, found)]


def check_data(check: SpinCheck, found: Sequence[Finding]) -> dict[str, Json]:
    """The same for a program."""
    return {
        "aircraft": check.aircraft,
        "operator": check.operator,
        "hand_wanted": check.hand.value if check.hand else None,
        "expiry_proofs": [_proof_data(proof) for proof in check.proofs],
        "seen": [_answer_data(answer) for answer in check.answers],
        "findings": [{"text": f.text, "remedies": list(f.remedies)} for f in found],
        "remarks": list(check.remarks),
        "outcome": verdict(check, found),
    }


def said_of(answers: Sequence[Answer]) -> tuple[Said, ...]:
    """Each question and its answer, for the record."""
    said: list[Said] = []
    for answer in answers:
        about, done = f"{answer.ordered.value} motor", _done(answer)
        turned = Said(
            about=about, done=done, asked="what turned", answer=answer.turned.value
        )
        said.append(turned)
        if answer.turned.side is not None:
            way = answer.turning.value if answer.turning else "not seen"
            asked = "which way, seen from above with the arms upright"
            said.append(Said(about=about, done=done, asked=asked, answer=way))
    return tuple(said)


def remarks_of(check: SpinCheck, found: Sequence[Finding]) -> tuple[str, ...]:
    """Proofs, the wanted hand and findings, for the record."""
    hand = (f"build sheet: {check.hand.value}",) if check.hand else ()
    return (
        *hand,
        *proven_of(check.proofs),
        *(finding.text for finding in found),
    )


def proven_of(proofs: Sequence[Expiry]) -> tuple[str, ...]:
    """That the board ended runs by itself, for the record."""
    return tuple(f"the board ends a run by itself: {proof}" for proof in proofs)


def overrides_of(check: SpinCheck) -> tuple[Override, ...]:
    """What was let pass, for the record."""
    reason = "agreed to at the terminal"
    return tuple(Override(what=what, reason=reason) for what in check.remarks)


def _seen(answer: Answer) -> str:
    way = ""
    if answer.turned.side is not None:
        turning = answer.turning.value if answer.turning else "way not seen"
        way = f", {turning} from above" if answer.turning else f", {turning}"
    return f"{answer.ordered.value} meant: {answer.turned.value}{way} ({_done(answer)})"


def _done(answer: Answer) -> str:
    if answer.means is Means.RADIO or answer.power is None or answer.ran_for is None:
        return RADIO
    return f"{percent(answer.power)} for {answer.ran_for:.1f} s at most"


def _answer_data(answer: Answer) -> dict[str, Json]:
    return {
        "meant": answer.ordered.value,
        "turned": answer.turned.value,
        "turning_from_above": answer.turning.value if answer.turning else None,
        "means": answer.means.value,
        "power_percent": None if answer.power is None else round(answer.power * 100, 1),
        "longest_run_s": answer.ran_for,
    }


def _proof_data(proof: Expiry) -> dict[str, Json]:
    return {
        "motor": proof.motor,
        "ordered_s": proof.ordered,
        "at_rest_within_s": round(proof.within, 2),
        "pack_in": proof.pack_in,
    }
