"""A password's hash at little cost, for whoever signs in often and does not test how strong it is."""

from argon2 import PasswordHasher

CHEAP = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
