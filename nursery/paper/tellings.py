"""What a record of each kind says beyond its name, in the order in which a person reads it.

For the kinds that a release file lists; the phone's whole list is
`frontend/src/screens/batch/tellings.ts`.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from nursery.paper.spoken import (
    LABEL,
    addressee,
    check,
    count_of,
    day_checks,
    doubt,
    fate,
    into,
    left_in,
    licence_that_day,
    lifts,
    minutes,
    of_batches,
    pictures,
    relabelling,
    sampled,
    seen_alive,
    settled_fate,
    sheet,
    stood_open,
    trap,
    who,
)
from nursery.paper.telling import (
    PHOTO,
    Part,
    Voice,
    all_of,
    at,
    because,
    between,
    coded,
    codes,
    counted,
    each,
    flagged,
    inside,
    joined,
    named,
    on_day,
    on_days,
    plain,
    shares,
)

ORDER = plain("order", "line.order")
PAPER = plain("paper", "line.paper")
LITRES = counted("litres", "line.litres")
CHECKED_BY = named("checked_by", "person", "line.checked_by")
PLANTS = counted("plants", "plants")
DIVISION: tuple[Part, ...] = (into, each("parents", [left_in]))
PLANTED: tuple[Part, ...] = (
    named("block", "place", "line.place"),
    count_of("positions", "release_file.positions"),
)

TELLINGS: Mapping[str, Sequence[Part]] = {
    "received": (
        because(
            named("consignment", "consignment", "line.consignment"),
            plain("certificate", "line.certificate"),
        ),
        coded("seal", "seal", "line.seal"),
        counted("boxes", "line.boxes"),
        named("place", "place", "line.place"),
        of_batches,
    ),
    "taken_on": (
        counted("alive", "line.taken_on"),
        coded("method", "method"),
        inside("batch", LABEL),
        on_day("clock_started_on", "line.clock_from"),
        named("permit", "permit", "line.permit"),
        PHOTO,
    ),
    "pricked": DIVISION,
    "split": DIVISION,
    "mixed": DIVISION,
    "joined": DIVISION,
    "worked": (
        coded("method", "method"),
        PLANTS,
        named("scion", "batch", "line.scion"),
        counted("took", "line.took"),
    ),
    "potted": (
        plain("container"),
        LITRES,
        plain("medium", "line.medium"),
        named("place", "place", "line.place"),
    ),
    "moved": (named("to", "place", "line.to"),),
    "relabelled": (relabelling,),
    "pruned": (PAPER,),
    "counted": (seen_alive, counted("cells", "line.cells"), counted("gaps", "line.gaps")),
    "lost": (
        because(fate, coded("cause", "cause")),
        flagged("kept", "line.kept"),
        flagged("by_auditor", "line.by_officer"),
        ORDER,
        sheet,
    ),
    "settled": (
        because(doubt, settled_fate, plain("reason")),
        named("by", "person", "line.doer"),
    ),
    "sent": (shares, plain("receiver", "line.to"), PAPER),
    "returned": (shares, plain("sender", "line.from")),
    "shown": (shares, plain("to", "line.to")),
    "disposed": (
        coded("what", "waste"),
        shares,
        counted("kg", "line.kg"),
        coded("method", "method"),
        plain("witness", "line.witness"),
    ),
    "looked": (coded("answer", "look"), PLANTS, minutes, coded("why", "unlooked"), sheet),
    "inspected": (
        coded("answer", "look"),
        PLANTS,
        flagged("active_growth", "line.active_growth"),
        plain("inspector", "line.inspector"),
        PAPER,
        PHOTO,
    ),
    "found": (
        flagged("suspicion", "term.suspicion"),
        named("pest", "pest"),
        coded("symptom", "symptom"),
        coded("part", "part"),
        plain("tag"),
        PLANTS,
        counted("per_leaf", "line.per_leaf"),
        all_of("positions", "line.positions", "position"),
        pictures,
        sheet,
    ),
    "sampled": (
        plain("sample"),
        sampled,
        plain("part"),
        coded("test", "test"),
        plain("laboratory", "line.to"),
        on_day("result_due", "line.result_due"),
        flagged("found", "line.for_find"),
    ),
    "resulted": (plain("sample"), coded("verdict", "result"), named("pest", "pest"), PAPER, PHOTO),
    "treated": (
        plain("product"),
        plain("active", "line.active"),
        plain("registration", "line.registration"),
        plain("batch_number", "line.product_batch"),
        plain("rate", "line.rate"),
        LITRES,
        counted("area_m2", "line.m2"),
        between("started_at", "ended_at"),
        at("reentry_until", "line.reentry"),
        named("operator", "person", "line.operator"),
        plain("licence", "line.licence"),
        licence_that_day,
        at("sign_posted_at", "line.sign_posted"),
        all_of("told", "line.told_people", "person"),
        ORDER,
    ),
    "told": (because(addressee, coded("what", "told"), plain("reference", "line.reference")),),
    "opened": (
        on_day("on", "line.from_day"),
        named("permit", "permit", "line.permit"),
        PAPER,
        PHOTO,
    ),
    "ordered": (
        because(
            plain("reference"),
            coded("act", "order"),
            lifts,
            counted("count", "plants"),
            counted("days", "span.days"),
            counted("times", "times"),
            counted("interval_days", "line.apart"),
            counted("after_treatment", "line.after_treatment"),
            on_day("not_before", "line.not_before"),
            on_days("looks_on", "line.looks_on"),
            on_day("due_on", "line.due_on"),
            all_of("admits", "line.admits", "person"),
            PHOTO,
        ),
    ),
    "accepted": (
        coded("what", "act"),
        named("person", "person"),
        on_day("week_of", "line.week_of"),
        plain("reference", "line.reference"),
        PHOTO,
    ),
    "released": (
        plain("notice"),
        counted("count", "plants"),
        shares,
        plain("conditions", "line.conditions"),
        on_day("shown_earliest", "line.shown_earliest"),
        plain("shown_rule", "line.rule"),
        PHOTO,
    ),
    "planted": PLANTED,
    "refilled": PLANTED,
    "entered": (because(who, coded("purpose", "purpose")), codes("hygiene", "hygiene")),
    "left": (who,),
    "trapped": (
        because(trap, coded("why", "unreadable")),
        flagged("replaced", "line.replaced"),
        sheet,
    ),
    "breached": (
        coded("what", "torn"),
        counted("size_cm", "line.cm"),
        at("last_good_at", "line.last_good"),
        stood_open,
    ),
    "repaired": (coded("what", "mended"),),
    "described": (
        because(
            plain("reference"),
            plain("weather"),
            between("gap_from", "gap_until"),
            plain("moved"),
            counted("extra_traps", "line.extra_traps"),
            all_of("people", "line.people_there", "person"),
        ),
    ),
    "cleaned": (
        coded("product", "bath"),
        plain("rate", "line.rate"),
        counted("contact_minutes", "line.contact"),
    ),
    "emptied": (CHECKED_BY,),
    "readied": (CHECKED_BY,),
    "dosed": (coded("product", "bath"), counted("percent", "line.percent")),
    "skipped": (because(check, plain("reason")),),
    "signed": (
        because(coded("act", "act"), plain("reason")),
        PLANTS,
        on_day("on", "on_day"),
        day_checks,
    ),
    "traced": (
        because(plain("asked_by"), plain("reason")),
        counted("positions", "line.traced_positions"),
        counted("alive", "line.traced_alive"),
        counted("reserve", "line.traced_reserve"),
        counted("sent", "line.traced_sent"),
        flagged("drill", "line.traced_drill"),
        counted("seconds", "line.traced_seconds"),
        plain("reference", "line.reference"),
    ),
    "withdrawn": (),
}


def tell(kind: str, body: Mapping[str, Any], voice: Voice) -> str:
    """Return what a record says beyond its kind; empty where it says no more."""
    return joined(TELLINGS.get(kind, (plain("reason"),)), body, voice) or ""
