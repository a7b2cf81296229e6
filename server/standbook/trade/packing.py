"""Many entries at once as a host packs them: a book says the same few values again and again, and each is read once.

`shared`: every value that stands in them, once. `forms`: the names of an entry's fields and of its body's, [[…], […]].
`rows`: for each entry its form and then, by place in `shared`, the values of its fields and of its body's.
"""


def entries(packed):
    """[(entry, seq)] of packed entries. Equal values are one object: nobody changes what an entry says."""
    shared, forms = packed["shared"], [_Form(fields, body) for fields, body in packed["forms"]]
    return [(forms[row[0]].filled(row, shared), seq) for row, seq in zip(packed["rows"], packed["seqs"])]


class _Form:
    """Entries with the same fields: a copy that is filled costs the phone a tenth of one that grows."""

    def __init__(self, fields, body):
        places = len(fields)
        self._head = [(field, at + 1) for at, field in enumerate(fields)]
        self._tail = [(field, at + 1 + places) for at, field in enumerate(body)]
        self._entry = dict.fromkeys(fields + ["body"])
        self._body = dict.fromkeys(body)

    def filled(self, row, shared):
        entry, body = self._entry.copy(), self._body.copy()
        for field, at in self._head:
            entry[field] = shared[row[at]]
        for field, at in self._tail:
            body[field] = shared[row[at]]
        entry["body"] = body
        return entry
