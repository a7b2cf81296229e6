"""Many entries at once as a host packs them: a book says the same few values again and again, and each is read once.

`shared`: every value that stands in them, once. `bodies`: each body once, as the number of its form and then, by place
in `shared`, its values; `forms`: the names of these. `columns`: of each field of an entry (`entry.Entry`, up to `seen`)
what the entries say, one after the other: a number as it is, id and time too, a body by its place in `bodies`, any
other by its place in `shared`.
"""

from .entry import Entry, rank_of


def entries(packed):
    """Packed entries. Equal values are one object: nobody changes what an entry says."""
    shared = packed["shared"]
    forms = [(dict.fromkeys(names), names) for names in packed["forms"]]
    bodies = [_filled(forms[row[0]], row, shared) for row in packed["bodies"]]
    ids, numbers, made, seen, kinds, steps, places, whys, people, devices, said = packed["columns"]
    found = []
    for at, seq in enumerate(packed["seqs"]):
        name, number, device = ids[at], numbers[at], shared[devices[at]]
        found.append(
            Entry(  # type: ignore[call-arg]  # its fields are not spelt out there
                name,
                number,
                made[at],
                seen[at],
                shared[kinds[at]],
                shared[steps[at]],
                shared[places[at]],
                shared[whys[at]],
                shared[people[at]],
                device,
                bodies[said[at]],
                seq,
                rank_of(name, device, number, seq),
            )
        )
    return found


def _filled(form, row, shared):
    """A body: a copy that is filled costs the phone a tenth of one that grows."""
    body, at = form[0].copy(), 1
    for name in form[1]:
        body[name] = shared[row[at]]
        at += 1
    return body
