"""How a route is known to the application."""

from collections.abc import Callable

from werkzeug.routing import Rule

Build = Callable[..., tuple[str, str]]


class Route(Rule):
    """A route whose addresses nobody writes by its name: the code for that is compiled when somebody does.

    Compiling it for all routes beforehand is most of what it takes to make an application.
    """

    def _compile_builder(self, append_unknown: bool = True) -> Build:
        compiled = super()._compile_builder

        def build(route: Rule, **values: object) -> tuple[str, str]:
            return compiled(append_unknown).__get__(route, None)(**values)  # type: ignore[no-any-return]

        return build
