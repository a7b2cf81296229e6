"""A joint as the screen shows it: the setting large, which pass, the pattern, what a thumb may tap, who did it."""

from . import joint, joint_progress, joint_setting, plain, quantity, views


def guide(work):
    """The next question about how it is tightened, then each joint with its own next act (`JointGuide` of screens)."""
    bench = work.bench
    return {
        "step": work.step.id,
        "ask": _ask(work),
        "setup": [_line(work, place) for place in _answerable(work)],
        "joints": [_card(work, one) for one in work.step.joints_of(bench.engine)],
        "after": "All tightened and checked. See the table and sign.",
    }


def _ask(work):
    """The first place of the setup that still wants an answer; None when the wrench may go on."""
    for place in work.groups[0].places if work.groups else ():
        wanted = place.required or place.id in _needed(work.bench)
        if wanted and not work.is_filled(place):
            return place.id
    return None


def _answerable(work):
    """Places of the setup without those that only another answer would call for."""
    idle = [name for name in joint.CALLED_FOR if name not in _needed(work.bench)]
    return [place for place in work.groups[0].places if place.id not in idle] if work.groups else []


def _needed(bench):
    """Places of the setup that other answers call for."""
    adapter = joint.ADAPTER_SIZES if bench.text("adapter") == joint.OFFSET else ()
    return adapter + (("angle",) if bench.text("method") == joint.ANGLE else ())


def _line(work, place):
    fold = work.folds[place.id]
    shown = None if fold.typed is None else views.show_ink(place, fold.typed)["words"]
    return {"place": place.id, "words": place.words, "shown": shown}


def _card(work, one):
    """One joint: its pattern, and what comes next."""
    bench = work.bench
    card = {"id": one.id, "words": one.words, "now": None, "stuck": None, "who": [], "order": []}
    try:
        passes, turn = joint_setting.passes(bench, one), joint.in_turn(bench, one)
        progress = joint_progress.Progress(bench, one, passes, turn)
        card["now"] = None if _ask(work) else _now(work, one, passes, turn, progress)
        card["order"], card["who"] = turn, _who(work, one, passes)
        card["plan"] = _plan(bench, one, turn, progress, card["now"])
        card["done"] = progress.tight and card["now"] is None
    except plain.Refusal as refusal:
        card["stuck"], card["plan"], card["done"] = refusal.message, None, False
    card["felt"] = _felt(one)
    return card


def _felt(one):
    """The keys of "something felt wrong": which fastener, and what it did."""
    return {
        "fasteners": [{"place": one.felt(each.number), "words": each.number} for each in one.fasteners],
        "choices": [{"id": word, "words": words} for word, words in joint.WRONG],
    }


# --- what comes next ---


def _now(work, one, passes, turn, progress):
    """The next act at a joint; None when nothing is left to do."""
    bench = work.bench
    wrong = joint_progress.wrong(bench, one)
    if wrong:
        return _deal(one, wrong[0])
    if not progress.tight:
        waits = [name for name in one.before_final if bench.text(name) != "yes"]
        if waits and progress.at == len(passes) - 1:
            return _yes(work, waits[0], "Before the last pass", "Done")
        return _pass(work, one, passes, turn, progress)
    if joint_progress.wants_retorque(bench) and not _is_after(bench, one.place("retorque"), passes[-1].place):
        return _retorque(work, one, passes)
    place = one.place("check")
    watched = bench.text(place) == joint.WATCHED
    if work.folds[place].not_measured is not None or _is_after(bench, place, passes[-1].place) or watched:
        return None
    return _check(work, one, passes)


def _is_after(bench, place, other):
    """Answered, and after what stands at another place."""
    return bench.at(place) is not None and not joint_progress.after(bench, other, place)


def _act(place, title, lines, keys, **more):
    """An act: keys write their text at the place. `setting` 72 px; `not_by`: persons who may not do it."""
    found = {"place": place, "title": title, "lines": lines, "keys": keys, "setting": None, "under": ""}
    found.update({"lubricant": "", "next": None, "step_key": None, "not_by": [], "wait": None, "number": None})
    found.update(more)
    return found


def _key(text, words, pulls=0):
    """`pulls`: how many fasteners the torque wrench pulled for what the key says."""
    return {"text": text, "words": words, "pulls": pulls}


def _begun(words):
    """With a capital letter, as a line begins."""
    return words[:1].upper() + words[1:]


def _deal(one, wrong):
    number, word = wrong
    title = one.fastener_words(number) + " " + dict(joint.WRONG)[word]
    keys = [_key(answer, _begun(words)) for answer, words in joint.DEALT]
    if word == joint.KEPT_TURNING:
        lines, keys = ["It yields or its thread pulls: mark it, take it out, fit a new one."], keys[1:]
    else:
        lines = ["Loosen it, look at thread, face and lubricant. The joint waits for it."]
    return _act(one.felt(number), _begun(title), lines, keys, number=number)


def _yes(work, place, title, words):
    return _act(place, title, [work.by_id[place].words + "?"], [_key("yes", words)])


def _pass(work, one, passes, turn, progress):
    bench, each = work.bench, passes[progress.at]
    title = "Pass " + str(progress.at + 1) + " of " + str(len(passes))
    number = turn[len(progress.done)]
    lines = _torque_lines(bench, each.torque) if each.torque is not None else _ANGLE_LINES
    setting, under = _setting(bench, each)
    last = len(progress.done) == len(turn) - 1
    clicks = 0 if each.torque is None else len(turn) - len(progress.done)
    return _act(
        each.place,
        title,
        lines,
        [_key(joint.ALL, "Pass " + str(progress.at + 1) + " done, all " + str(len(turn)), clicks)],
        setting=setting,
        under=under,
        lubricant=_lubricant(bench),
        next="Next: " + one.fastener_words(number),
        step_key=_key(joint.ALL if last else number, _begun(one.fastener_words(number)) + " tight", min(clicks, 1)),
        number=number,
    )


_ANGLE_LINES = ["The second person watches the angle while it is turned, or reads the paint marks after it."]


def _lubricant(bench):
    used = bench.text("lubricant")
    card = bench.text("card_lubricant") or ""
    if used == joint.SAME:
        return "with " + card
    return "The card wants " + card + ": this setting does not hold for what is on the threads. Ask the lead."


def _setting(bench, each):
    """(what is set, large; what it is at the fastener)."""
    if each.torque is None:
        return quantity.show("angle", each.angle, "deg", 0), "further, from where the torque left it"
    unit = joint_setting.unit(bench)
    torque = joint_setting.wrench_torque(bench, each.torque)
    shown = quantity.show("torque", torque, unit, _decimals(torque, unit))
    if bench.text("adapter") != joint.OFFSET:
        return shown, shown["echo"]
    at = quantity.show("torque", each.torque, unit, _decimals(each.torque, unit))["words"]
    return shown, "on the wrench, for " + at + " at the fastener, " + _as_it_stands(bench)


def _as_it_stands(bench):
    """How the adapter has to stand on the wrench for this setting: an angle that was taken for granted shows here."""
    angle = quantity.show_typed("angle", bench.at("adapter_angle").typed)["words"]
    return "adapter " + ("straight out" if bench.number("adapter_angle") == 0.0 else "at " + angle + " to the wrench")


def _decimals(torque, unit):
    """No more digits than a wrench can be set to: whole figures where the torque is whole."""
    figure = quantity.from_canonical("torque", torque, unit)
    return 0 if abs(figure - plain.round_away(figure, 0)) < 1e-6 else 1


def _torque_lines(bench, torque):
    """The band that the wrench may give, and what speaks against the wrench."""
    unit = joint_setting.unit(bench)
    ends = [quantity.text_in("torque", end, unit, 1) for end in joint_setting.band(torque)]
    lines = ["A wrench in date gives " + ends[0] + " to " + quantity.with_unit(ends[1], unit) + " at the fastener"]
    words = joint_setting.out_of_range(bench, joint_setting.wrench_torque(bench, torque))
    return lines if words is None else [words] + lines


def _retorque(work, one, passes):
    setting, under = _setting(work.bench, passes[-1])
    last = joint_progress.latest(work.bench, passes[-1].place)
    least = work.bench.limits.number("minutes_before_retorque", "low")
    lines = ["The gasket settles: the last setting once more over all of them, in the same order."]
    wait = None if last is None else {"since": last.made_at, "minutes": int(least)}
    keys = [_key("yes", "Gone over again, all", len(one.numbers))]
    return _act(one.place("retorque"), "Once more", lines, keys, setting=setting, under=under, wait=wait)


def _check(work, one, passes):
    """What the second person does; the torque is not told, he takes it from the card."""
    if joint_progress.click_fits(work.bench):
        lines = [
            "Set the wrench yourself by the card: " + (work.bench.text("source") or "") + ".",
            "A slow steady pull on each: it clicks and does not move. A click shows that none is far too low; too high "
            "it never shows.",
        ]
        fit = (joint.CLICKED, joint.MOVED)
    else:
        lines = ["No wrench on this joint again: it would turn further. The angle was watched, or the marks are read."]
        fit = (joint.WATCHED, joint.MARKS)
    lines.append("Mark each with paint of another colour than the one who tightened it.")
    clicks = len(one.numbers) if joint.CLICKED in fit else 0
    keys = [_key(answer, words, clicks) for answer, words in joint.SEEN_BY if answer in fit]
    doers = plain.keys_in_order(joint_progress.doers(work.bench, passes))
    return _act(one.place("check"), "The second person", lines, keys, not_by=doers)


# --- who and where ---


def _who(work, one, passes):
    """Who tightened and who checked, by name."""
    name, found = work.build.name, []
    doers = plain.keys_in_order(joint_progress.doers(work.bench, passes))
    if doers:
        found.append("Tightened by " + ", ".join([name(person) for person in doers]))
    check = joint_progress.latest(work.bench, one.place("check"))
    if check is not None and work.bench.at(one.place("check")) is not None:
        found.append("Checked by " + name(check.person))
    return found


def _plan(bench, one, turn, progress, now):
    """The fasteners as they lie, 0 to 1 from the front and across."""
    at = joint.positions(bench, one)
    low = [min([at[number][axis] for number in one.numbers]) for axis in (0, 1)]
    wide = [max([at[number][axis] for number in one.numbers]) - low[axis] for axis in (0, 1)]
    reached = dict.fromkeys(progress.done, True)
    wrong = [number for number, _ in joint_progress.wrong(bench, one)]
    fasteners = []
    for number in one.numbers:
        x, y = [(at[number][axis] - low[axis]) / wide[axis] if wide[axis] > 0 else 0.5 for axis in (0, 1)]
        state = "wrong" if number in wrong else "done" if number in reached else "open"
        if now is not None and number == now["number"] and state == "open":
            state = "next"
        fasteners.append(
            {
                "number": number,
                "words": one.fastener_words(number),
                "x": plain.round_away(x, 4),
                "y": plain.round_away(y, 4),
                "state": state,
                "turn": turn.index(number) + 1,
            }
        )
    return {"fasteners": fasteners, "sides": list(one.sides)}
