"""Standbook: the build book of a performance engine shop, recorded at the stand, decided at the desk."""
