"""What the query of a product's address chooses: options, quantities, language, clock."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from marshmallow import ValidationError
from werkzeug.datastructures import LanguageAccept

from ..choosing import Contradiction, settle
from ..products import Catalogue, Choice, ChoiceOption, Labels, NumberOption, Option, Product
from .faults import Fault, InvalidRequest
from .parameters import Query, faulty_names, is_whole
from .schemas.fields import Moment, Told

QUANTITY, LANGUAGE, AS_OF = "quantity", "language", "as_of"
# Digits of a number in a query; no option and no quantity has more.
MOST_DIGITS = 9
_MOMENT = Moment(years=(2000, 2099))


@dataclass(frozen=True, slots=True)
class Selection:
    """A query, understood.

    chosen: what is chosen of some options
    settled: of all of them; what is left out stands at its default, or at what is legal
    quantities: those to price, rising
    as_of: instant that dates are reckoned from, None for now
    """

    chosen: Mapping[str, Choice]
    settled: Mapping[str, Choice]
    quantities: tuple[int, ...]
    language: str
    as_of: int | None


class QueryReader:
    """Reads the query of one product's address, and collects its faults."""

    def __init__(
        self, product: Product, catalogue: Catalogue, query: Query, accepted: LanguageAccept
    ) -> None:
        self._product, self._catalogue, self._query = product, catalogue, query
        self._faults: list[Fault] = []
        self.language = language_of(query, accepted, catalogue.languages, self._fault)

    def selection(self, *, complete: bool) -> Selection:
        """Return what is chosen. complete: whether options without a default must be chosen.

        Raises InvalidRequest with every fault.
        """
        self._check_names((QUANTITY, LANGUAGE, AS_OF))
        chosen: dict[str, Choice] = {}
        for option in self._product.options:
            for text in self._query.getlist(option.id)[:1]:
                value = self._choice(option, text)
                if value is not None:
                    chosen[option.id] = value
            if complete and option.default is None and option.id not in self._query:
                self._fault(option.id, "required", f"Choose {self._told(option.name)}.")
        quantities = self._quantities()
        as_of = self._as_of()
        self._stop()
        return Selection(chosen, self._settled(chosen), quantities, self.language, as_of)

    def domains(self) -> tuple[dict[str, tuple[Choice, ...]], tuple[int, ...]]:
        """Return what a price list is of: values of each option, and quantities.

        A parameter may name several, between commas. What is left out is all values of a choice,
        and a number's default. Raises InvalidRequest with every fault.
        """
        self._check_names((QUANTITY, LANGUAGE))
        domains = {option.id: self._domain(option) for option in self._product.options}
        quantities = self._product.ladder
        if QUANTITY in self._query:
            read = [self._quantity(text) for text in self._listed(QUANTITY)]
            quantities = tuple(sorted({each for each in read if each is not None}))
        self._stop()
        return domains, quantities

    def _domain(self, option: Option) -> tuple[Choice, ...]:
        if option.id not in self._query:
            if isinstance(option, ChoiceOption):
                return tuple(value.id for value in option.values)
            return (option.least if option.default is None else option.default,)
        read = [self._choice(option, text) for text in self._listed(option.id)]
        return tuple(dict.fromkeys(each for each in read if each is not None))

    def _listed(self, name: str) -> list[str]:
        return self._query[name].split(",")

    def _check_names(self, others: Sequence[str]) -> None:
        known = [*(option.id for option in self._product.options), *others]
        self._faults += faulty_names(self._query, known)

    def _choice(self, option: Option, text: str) -> Choice | None:
        """Return what a text chooses of an option; None after a fault."""
        if isinstance(option, NumberOption):
            return self._number(option, text)
        ids = [value.id for value in option.values]
        if text in ids:
            return text
        self._fault(option.id, "unknown_value", f"Expected one of {', '.join(ids)}.")
        return None

    def _number(self, option: NumberOption, text: str) -> int | None:
        number = _whole(text)
        if number is None:
            self._fault(option.id, "not_an_integer", "Expected a whole number.")
        elif not option.takes(number):
            step = f" in steps of {option.step}" if option.step > 1 else ""
            told = f"Expected {option.least} to {option.most}{step}."
            self._fault(option.id, "out_of_range", told)
            return None
        return number

    def _quantities(self) -> tuple[int, ...]:
        if QUANTITY not in self._query:
            return self._product.ladder
        quantity = self._quantity(self._query[QUANTITY])
        return () if quantity is None else (quantity,)

    def _quantity(self, text: str) -> int | None:
        quantity, ladder = _whole(text), self._product.ladder
        if quantity is None:
            self._fault(QUANTITY, "not_an_integer", "Expected a whole number.")
        elif not self._product.between and quantity not in ladder:
            told = f"Expected one of {', '.join(f'{each:,}' for each in ladder)}."
            self._fault(QUANTITY, "unknown_value", told)
        elif not ladder[0] <= quantity <= ladder[-1]:
            told = f"Expected {ladder[0]:,} to {ladder[-1]:,}."
            self._fault(QUANTITY, "out_of_range", told)
        else:
            return quantity
        return None

    def _as_of(self) -> int | None:
        if AS_OF not in self._query:
            return None
        try:
            read = _MOMENT.deserialize(self._query[AS_OF])
        except ValidationError as found:
            for told in found.messages:
                assert isinstance(told, Told)  # noqa: S101  the field raises nothing else
                self._fault(AS_OF, told.code, told.detail)
            return None
        if isinstance(read, int):
            return read
        self._fault(AS_OF, "no_offset", "Expected an offset: Z, or hours and minutes, as +01:00.")
        return None

    def _settled(self, chosen: Mapping[str, Choice]) -> Mapping[str, Choice]:
        try:
            return settle(self._product, chosen)
        except Contradiction as fault:
            broken = fault.rules
        if not broken:
            told = "No choice of the other options goes with all of these."
            for name in chosen:
                self._fault(name, "options_conflict", told)
        for rule in broken:
            for name in rule.options:
                if name in chosen:
                    self._fault(name, "options_conflict", self._told(rule.because))
        raise InvalidRequest(self._faults)

    def _told(self, labels: Labels) -> str:
        return labels[self.language]

    def _fault(self, name: str, code: str, detail: str) -> None:
        self._faults.append(Fault((), code, detail, name))

    def _stop(self) -> None:
        if self._faults:
            raise InvalidRequest(self._faults)


def language_of(
    query: Query,
    accepted: LanguageAccept,
    languages: Sequence[str],
    fault: Callable[[str, str, str], None],
) -> str:
    """Return the language to answer in: the parameter's, the one accepted most, or the first.

    fault: is called with parameter, code and detail where the parameter names none of them
    """
    asked = query.get(LANGUAGE)
    if asked is not None:
        for language in languages:  # tags are alike whatever their case (RFC 5646, 2.1.1)
            if language.lower() == asked.lower():
                return language
        fault(LANGUAGE, "unknown_language", f"There is {', '.join(languages)}.")
        return languages[0]
    found: str | None = accepted.best_match(languages)
    return found or languages[0]


def _whole(text: str) -> int | None:
    return int(text) if is_whole(text) and len(text) <= MOST_DIGITS else None
