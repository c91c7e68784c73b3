"""The release file in words: one page's model for each language, read by the PDF and by the bundle.

Facts come in as `domain.release_file` gives them. A model holds texts, tables and drawings and no
code of the domain, so that what prints it or shows it knows nothing of the trade.
"""

from collections.abc import Mapping
from datetime import date
from typing import Any

from nursery.paper import release_acts, release_annex, release_bed, release_weeks
from nursery.paper.release_voice import Facts, Rows, labels_of, local_day, voice_for
from nursery.paper.telling import Voice
from nursery.services import words

MOST_LINES = 12
MOST_REMARKS = 8
FATES = ("died", "culled", "sampled", "destroyed", "stolen", "planted", "sent")
WAYS = ("split", "joined", "mixed")


def pages(facts: Facts) -> dict[str, dict[str, Any]]:
    """Return the models of all languages that have a catalogue."""
    return {language: page(facts, language) for language in words.languages()}


def page(facts: Facts, language: str) -> dict[str, Any]:
    """Return the model of one language."""
    voice = voice_for(facts, language)
    alive, word = _figure(facts, voice)
    account = _account(facts, voice)
    return {
        "language": language,
        "title": voice.say("release_file.title", name=_name(facts, voice)),
        "under": _under(facts, voice),
        "own": voice.say("release_file.own"),
        "alive": alive,
        "alive_word": word,
        "sum": account_sentence(facts["account"]["ledger"], voice),
        "notes": list(_notes(facts, voice)),
        "account": _short(account, voice),
        "law": _law(facts, voice),
        "clock": _clock(facts, voice),
        "looks": _looks(facts, voice),
        "acts": _acts(facts, voice),
        "annex": {
            "title": voice.say("release_file.annex"),
            "account": account,
            "lists": release_annex.lists(facts, voice),
        },
        "sign": [
            voice.say(f"release_file.{key}") for key in ("grower_signs", "officer_signs", "stamp")
        ],
    }


def _name(facts: Facts, voice: Voice) -> str:
    permits = [voice.name("permit", one["id"]) for one in facts["permits"]]
    return ", ".join(permits) or str(facts["consignment"].get("name", facts["consignment"]["id"]))


def _under(facts: Facts, voice: Voice) -> str:
    row = facts["consignment"]
    crops = dict.fromkeys(one["crop"] for one in facts["batches"] if one["crop"])
    cultivars = dict.fromkeys(line.get("cultivar") for line in row.get("lines", ()))
    supplier = ", ".join(filter(None, (row.get("supplier"), row.get("origin"))))
    said_of = [
        ", ".join(filter(None, (*(voice.name("crop", one) for one in crops), *cultivars))),
        row.get("name"),
        voice.say("release_file.came_from", text=supplier) if supplier else None,
        facts["nursery"].get("name"),
        facts["nursery"].get("country"),
        voice.say("release_file.as_of", on=facts["on"], year=facts["on"][:4]),
    ]
    return " · ".join(filter(None, said_of))


def _figure(facts: Facts, voice: Voice) -> tuple[str, str]:
    """Return the largest figure of the page: the plants alive, and what is to become of them."""
    released = any(one["released"] for one in facts["clocks"])
    key = (
        "release_file.released"
        if released
        else "release_file.to_release"
        if facts["clocks"]
        else "release_file.alive"
    )
    return voice.say("figure", figure=facts["account"]["ledger"]["alive"]), voice.say(key)


def account_sentence(ledger: Mapping[str, int], voice: Voice) -> str:
    """Return `318 in = 241 alive + 17 dead`; what came by other ways stands left of the sign."""
    came = [voice.say("ledger.in", n=ledger["in"])]
    went = [voice.say("fate.alive", n=ledger["alive"])]
    went += [voice.say(f"fate.{one}", n=ledger[one]) for one in FATES if ledger[one]]
    for way in WAYS:
        if ledger[way] > 0:
            went.append(voice.say(f"ledger.{way}_out", n=ledger[way]))
        elif ledger[way] < 0:
            came.append(voice.say(f"ledger.{way}_in", n=-ledger[way]))
    if ledger["settled"]:
        went.append(voice.say("ledger.settled", n=ledger["settled"]))
    if ledger["difference"]:
        went.append(voice.say("ledger.difference", n=ledger["difference"]))
    plus = f" {voice.say('ledger.plus')} "
    return f"{plus.join(came)} {voice.say('ledger.equals')} {plus.join(went)}"


def _notes(facts: Facts, voice: Voice) -> Rows:
    row, account = facts["consignment"], facts["account"]
    if "arrived_on" in row:
        yield voice.say("release_file.counted_on", on=row["arrived_on"])
    if "certificate" in row:
        yield voice.say("release_file.certificate", text=row["certificate"])
    for notice in facts["notices"]:
        told = voice.word("release_file.note", notice["code"], **_known(notice["params"]))
        yield told or _reason(notice, voice)
    if account["ledger"]["difference"] == 0:
        yield voice.say("release_file.balanced")
    for line in facts["ledger"]:
        if len(line["batches"]) > 1:
            yield voice.say("release_file.together", labels=labels_of(line["batches"], voice))
    if facts["open"]:
        names = dict.fromkeys(
            voice.word("doubt_name", one["code"]) or voice.say("doubt_name.other")
            for one in facts["open"]
        )
        yield voice.say("release_file.open", names=list(names))


def _account(facts: Facts, voice: Voice) -> dict[str, Any]:
    """Return the account as a table; a column that is empty everywhere is left out."""
    lines = [
        ("+".join(voice.name("batch", name) for name in one["batches"]), one)
        for one in facts["ledger"]
    ]
    lines.append((voice.say("release_file.total"), facts["account"]["ledger"]))
    heads = {
        "in": voice.say("release_file.in"),
        **{one: voice.say(f"fate_word.{one}") for one in ("alive", *FATES)},
        "ways": voice.say("release_file.ways"),
        "settled": voice.say("release_file.settled"),
        "difference": voice.say("release_file.difference"),
    }
    told = [(name, {**line, "ways": sum(line[way] for way in WAYS)}) for name, line in lines]
    shown = [key for key in heads if key in ("in", "alive") or any(line[key] for _, line in told)]
    return {
        "title": voice.say("release_file.account"),
        "columns": [voice.say("release_file.batch"), *(heads[key] for key in shown)],
        "rows": [
            [name, *(voice.say("figure", figure=line[key]) for key in shown)] for name, line in told
        ],
    }


def _short(account: dict[str, Any], voice: Voice) -> dict[str, Any]:
    """Return the account as the first page has room for it: of many batches only the sum."""
    *lines, total = account["rows"]
    if len(lines) <= MOST_LINES:
        return account
    many = voice.say("release_file.in_annex", n=len(lines))
    return {**account, "rows": [[many, *total[1:]]]}


def _law(facts: Facts, voice: Voice) -> list[list[str]]:
    """Return the permit's limits against what is: quantity, days, earliest release."""
    rows = [
        [voice.say("release_file.permit"), voice.say("release_file.most", n=term["says"]["plants"])]
        for permit in facts["permits"]
        for term in permit.get("terms", ())
        if term["rule"] == "most_plants"
    ]
    for clock in facts["clocks"]:
        if clock["started_on"] is not None:
            began = date.fromisoformat(clock["started_on"])
            run = max(0, (date.fromisoformat(facts["on"]) - began).days)
            of = voice.say("release_file.days_of", n=min(run, clock["days"]), of=clock["days"])
            rows.append([voice.say("release_file.days"), of])
        day = clock["earliest"]
        when = (
            voice.say("release_file.nobody_can_say") if day is None else voice.say("on_day", on=day)
        )
        rows.append([voice.say("release_file.earliest"), when])
    rows += [
        [voice.say("release_file.notice"), _notice(event, voice)] for event in facts["releases"]
    ]
    if kept := facts["kept_until"]:
        until = voice.say("release_file.dated", on=kept, year=kept[:4])
        rows.append([voice.say("release_file.kept"), until])
    return rows


def _notice(event: Mapping[str, Any], voice: Voice) -> str:
    on, text = local_day(event["at"], voice), str(event["body"].get("notice", ""))
    return voice.say("release_file.notice_said", text=text, on=on)


def _clock(facts: Facts, voice: Voice) -> dict[str, Any]:
    clocks = facts["clocks"]
    lines = [] if clocks else [voice.say("release_file.no_conditions")]
    for clock in clocks:
        told = [_reason(one, voice) for one in (*clock["reasons"], *clock["moved"], *clock["met"])]
        told += [_reason(clock["only_if"], voice)] if clock["only_if"] else []
        told += [_reason(one, voice) for one in clock["unmet"]]
        whole = " ".join(told)
        alone = len(clocks) == 1
        labels = labels_of(clock["batches"], voice)
        lines.append(
            whole if alone else voice.say("release_file.clock_of", labels=labels, reason=whole)
        )
    return {
        "title": voice.say("release_file.clock"),
        "lines": lines,
        **release_bed.drawn(facts, voice),
    }


def _reason(reason: Mapping[str, Any], voice: Voice) -> str:
    return voice.say(f"reason.{reason['code']}", **_known(reason["params"]))


def _known(params: Mapping[str, Any]) -> dict[str, Any]:
    return {name: "?" if value is None else value for name, value in params.items()}


def _looks(facts: Facts, voice: Voice) -> dict[str, Any]:
    looks = facts["looks"]
    over, done, missing = (looks[key] for key in ("over", "done", "not_done"))
    found = [release_annex.week_line(one, voice) for one in looks["weeks"]]
    remarks = [line for line in found if line]
    if len(remarks) > MOST_REMARKS:
        more = voice.say("release_file.more_acts", n=len(remarks) - MOST_REMARKS)
        remarks = [*remarks[:MOST_REMARKS], more]
    return {
        "title": voice.say("release_file.looks"),
        "sum": voice.say("release_file.looks_sum", n=over, done=done, missing=missing),
        "key": voice.say("release_file.looks_key"),
        "remarks": remarks,
        **release_weeks.drawn(facts, voice),
    }


def _acts(facts: Facts, voice: Voice) -> dict[str, Any]:
    rows, short = release_acts.rows(facts, voice), release_acts.short(facts, voice)
    return {
        "title": voice.say("release_file.acts"),
        "rows": rows,
        # What stands on paper, where there is less room, and where so many do not go on the page.
        "short": short,
        "more": [voice.say("release_file.more_acts", n=n) for n in range(1, len(short) + 1)],
        "none": voice.say("release_file.no_acts"),
    }
