"""The OpenAPI document against the server, by schemathesis: requests that fit it and some that do not, by everybody.

No answer is a fault of the server, and none is one that the document does not tell of.
"""

from collections.abc import Iterator

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from schemathesis import GenerationMode, checks
from schemathesis.schemas import APIOperation

from standbook.api.document import openapi
from standbook.api.who import COOKIE
from tests.api.roles import NOBODY, copy_of, staffed, token_of
from tests.ledger.kit import Book

JSON = "application/json"
KEPT = [
    checks.not_a_server_error,
    checks.status_code_conformance,
    checks.content_type_conformance,
    checks.response_schema_conformance,
    checks.response_headers_conformance,
]
# The checks read what is sent; they do not unpack it.
HEADERS = {"X-Standbook": "1", "Accept-Encoding": "identity"}


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    template = staffed(tmp_path_factory.mktemp("staff") / "data")
    with copy_of(template, tmp_path_factory.mktemp("shop") / "data") as book:
        yield book


#: Read once, without a database; each test sends to its own shop.
DOCUMENT = schemathesis.openapi.from_dict(openapi())
OPERATIONS = [operation.ok() for operation in DOCUMENT.get_all_operations()]
#: What can be asked wrongly: a form, or what stands in the address or the head. A path of letters cannot.
WITH_FORM = [one for one in OPERATIONS if one.query or one.headers or any(form.media_type == JSON for form in one.body)]
ASKED = [
    *((one, GenerationMode.POSITIVE) for one in OPERATIONS),
    *((one, GenerationMode.NEGATIVE) for one in WITH_FORM),
]
schemathesis.serializer.alias("application/partial-upload", "application/octet-stream")


@pytest.mark.parametrize("role", [NOBODY, "apprentice", "builder", "lead", "owner"])
@pytest.mark.parametrize(("operation", "mode"), ASKED, ids=lambda given: getattr(given, "label", None) or given.value)
def test_every_answer_is_one_that_the_document_tells_of(
    shop: Book, operation: APIOperation, role: str, mode: GenerationMode
) -> None:
    cookies = {} if role == NOBODY else {COOKIE: token_of(shop, role)}
    operation.schema.app = shop.app

    @settings(max_examples=10, suppress_health_check=list(HealthCheck))
    @given(case=operation.as_strategy(generation_mode=mode))
    def ask(case: schemathesis.Case) -> None:
        answer = case.call(headers=HEADERS, cookies=cookies, app=shop.app)
        case.validate_response(answer, checks=KEPT)

    ask()
