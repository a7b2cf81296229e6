"""Many entries at once as a host packs them: a book says the same few values again and again, and each is read once.

`shared`: every value that stands in them, once. `forms`: the names of an entry's fields and of its body's, [[…], […]].
`rows`: for each entry its form and then, by place in `shared`, the values of its fields and of its body's.
"""


def entries(packed):
    """[(entry, seq)] of packed entries. Equal values are one object: nobody changes what an entry says."""
    shared, forms = packed["shared"], packed["forms"]
    found = []
    for row, seq in zip(packed["rows"], packed["seqs"]):
        fields, body = forms[row[0]]
        values = [shared[at] for at in row[1:]]
        entry = dict(zip(fields, values))
        entry["body"] = dict(zip(body, values[len(fields) :]))
        found.append((entry, seq))
    return found
