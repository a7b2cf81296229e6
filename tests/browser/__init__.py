"""The whole product from outside: a browser at the stand, a browser at the desk, the server process between them."""
