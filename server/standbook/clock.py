"""The server's clock, and what a device claims about its own (LG10)."""

from datetime import UTC, datetime, timedelta


def now() -> datetime:
    """This moment in UTC. The one place that asks the machine, so that tests can set it."""
    return datetime.now(UTC)


def stamp(moment: datetime) -> str:
    """ISO 8601 with milliseconds and Z: sorts as text in the order of time."""
    utc = moment.astimezone(UTC)
    return utc.strftime("%Y-%m-%dT%H:%M:%S.") + f"{utc.microsecond // 1000:03d}Z"


def now_stamp() -> str:
    return stamp(now())


def later(seconds: float) -> str:
    return stamp(now() + timedelta(seconds=seconds))


def skew_ms(claimed: str) -> int | None:
    """Device clock minus server clock in ms; None where the claim cannot be read, which is no reason to refuse."""
    try:
        moment = datetime.fromisoformat(claimed)
        moment = moment if moment.tzinfo else moment.replace(tzinfo=UTC)
        return round((moment - now()).total_seconds() * 1000)
    except (ValueError, OverflowError):
        return None
