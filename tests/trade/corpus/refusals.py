"""Texts that are no number and texts that are no JSON, written by hand."""

BROKEN_NUMBERS = (
    *("", " ", "   ", ".", ",", "+", "-", "+.", "-,", "..", ".,", "\t"),
    *("abc", "2.5x", "x2.5", "2.5 in", "2.5in", '2.5"', "2 5", "2. 5", "1e3", "1E-3", "1e400", "0x1F", "0b1", "0o7"),
    *("1.2.3", "1,2,3", "1,234.5", "1.234,5", "2..5", "2.,5", "1,234,567.8", "2.5.", ",2,"),
    *("1_000", "_1", "1_", "1_0.5", "1'000", "1 000", "1\u202f000", "1\u00a0000"),
    *(
        "\u0663",
        "\u0661.\u0665",
        "\uff12.\uff15",
        "2\uff0e5",
        "2\u066b5",
        "\u0967\u0968",
        "\u00bd",
        "2\u00b2",
        "\u2460",
    ),
    *("NaN", "nan", "-nan", "inf", "-inf", "Infinity", "-Infinity", "1#INF"),
    *("--1", "+-1", "-+1", "++1", "1-", "1+", "- 1", "+ 1", "(1)", "1-2", "\u20131", "\u20141"),
    *("\u00a02.5", "2.5\u00a0", "\u20032.5", "2.5\u2009", "\x1c2.5", "2.5\x1f", "\ufeff2.5", "2.5\u200b", "2\x005"),
    *("1234567890123456", "0.1234567890123456", "99999999999999999999", "1" * 400),
    *("true", "None", "1/2", "5%", "$5", "2*3", "O.5", "l.5", "2,5,", "#1", "1;2", "1:2"),
)
"""None of these is a number that a gauge shows: ASCII digits with at most one point or comma and a sign in front.

Other scripts' spaces around a number are refused on both interpreters, since only CPython would strip them.
"""

BROKEN_JSON = (
    *("", " ", "{", "}", "[", "]", "[1", "[1,", "[1,]", "[,1]", "[1 2]", "{,}", '{"a"}', '{"a":}', '{"a":1,}'),
    *('{"a":1 "b":2}', '{"a" 1}', "{a:1}", "{'a':1}", "{1:2}", '{"a":1}}', '{"a":1} x', "[1][2]", "1 2", "[}", "{]"),
    *("NaN", "-NaN", "Infinity", "-Infinity", "[NaN]", '{"a":Infinity}', "nan", "inf"),
    *('{"a":1,"a":2}', '{"a":{"b":1,"b":1}}', '[{"x":1,"y":2,"x":3}]', '{"a":1,"\\u0061":2}'),
    *("01", "-01", "1.", ".5", "-", "+1", "1e", "1e+", "1.e3", "0x10", "1_000", "--1", "1e400", "\u0663", "\uff11"),
    *(
        '"',
        '"a',
        'a"',
        "'a'",
        '"\\x41"',
        '"\\"',
        '"\\u12"',
        '"\\u12g4"',
        '"\\u"',
        '"a\nb"',
        '"a\tb"',
        '"\x01"',
        '"\x00"',
    ),
    *(
        "True",
        "None",
        "tru",
        "truex",
        "nulll",
        "undefined",
        "True,",
        "//x\n1",
        "/*x*/1",
        "\ufeff1",
        "\u00a01",
        "1\u2028",
        "1\x0b",
    ),
)
"""None of these is one JSON value by RFC 8259, or names a key twice, or cannot be held as a finite number."""

TOO_DEEP = "[" * 200 + "]" * 200
"""Whole JSON, but deeper than anything we write; recursion ends between 100 and 200 frames on the phone."""
