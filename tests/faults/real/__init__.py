"""Real processes: a server that the system kills, pages of a real Chromium, a network of sockets between them.

`python -m tests.faults.real stories 900 1-6` tells stories of 900 steps and their healing, by seed; chance draws what
happens, the machine when. `python -m tests.faults.real kills 1000` kills server and pages together a thousand times.

| module | what it is for |
|---|---|
| `story` `kills` | what happens, and how it ends |
| `world` | one story's phones, server and network; `making`: what they all stand on |
| `page.mjs` `chance.mjs` | the page: the client's own store and sync, and somebody at it |
| `chromium` `server` `nursery` | the processes and their deaths; servers are forked by one that has loaded everything |
| `network` `fates` | the way between them, and what may become of a request on it |
| `promises` `healing` | what the screens said, and what must hold then |
"""
