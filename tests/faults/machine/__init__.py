"""The fault machine: phones with the real client's store and sync, the real server, and a world that breaks both.

`python -m tests.faults.machine 7` tells the story of seed 7, `1-50` those of a range, `-v` line by line.

The phones live in one Node process (`tests/faults/client`): each tab is a copy of the client's modules of its own over
the phone's disk (fake-indexeddb with a hand on every commit), clock, locks and channel. Nothing there runs by itself:
a command comes in, everything runs until nobody can go on without the world, and what happened goes out. So a story is
the same to the last step whenever it is told. The server is called here, without a socket (`server.py`).

A step is one decision of the world: an act of a person, the fate of a request, a commit let through or not (the phone's
and the server's), a text beside the database, a clock or a disk set wrong.

| module | what it is for |
|---|---|
| `driver` `machine` | who decides: a seed, or hypothesis |
| `world` | one story's phones, server and network; `people` `promises` `story` what is known of them |
| `acts` `disasters` | what people do, what the world does |
| `network` | what may become of a request |
| `healing` `checks` `copies` | how all is made well again; what must hold then; what the world itself destroyed |
| `server` `files` | the server, and how it dies at a commit or a change of a file |
"""
