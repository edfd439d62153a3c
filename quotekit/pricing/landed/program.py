"""The cheapest order as an integer program: packs of each offer, and which suppliers get an order.

Unknowns: packs x of an offer; for a supplier whether it gets an order (y), whether its freight is free (f), whether its
minimum is reached (m). Rows: units of each cover; x <= most packs x y; goods >= free freight from x f;
goods >= minimum x m where there is a small order fee to save. Least: goods + extra freight + freight x (y - f) +
fee x (y - m), in minor units, rounded as `price` rounds.
A pack that holds more than is asked for counts for what is asked for, and what is asked for is said once more in
whole packs of each size: the same orders, but broken ones, which the solver starts from, come close to whole ones.
More packs than cover all that is needed are bought only to reach a supplier's threshold, so the most packs of an offer
are the larger of both. One pack more changes nothing for the better, and costs.
Units: packs, minor units of money. Source: a covering problem with fixed charges, from memory.

Worked example: one seal at 1.60, freight 9.00, free from 4.80: three packs, 4.80, land for less than one with freight,
10.60.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.landed import OrderTask, PackOffer, Packs
from quotekit.model.shop_book import Supplier
from quotekit.money import whole_units
from quotekit.pricing.exact.flags import Flag, add_flag
from quotekit.pricing.exact.lines import Line, Number
from quotekit.pricing.exact.program import Program
from quotekit.pricing.landed.in_time import Cover, offer_order
from quotekit.pricing.landed.price import terms_of
from quotekit.record import record

ZERO = Decimal(0)


@record
class OrderProgram:
    """The program of an order, and where its unknowns are."""

    program: Program
    packs: Mapping[PackOffer, int]
    """The unknown of each offer, in their fixed order."""
    money: Line
    suppliers: Line
    """How many suppliers get an order."""
    all_packs: Line

    def chosen(self, values: Sequence[int]) -> tuple[Packs, ...]:
        """The packs that values of the unknowns mean."""
        return tuple(
            Packs(offer=offer, packs=values[place]) for offer, place in self.packs.items() if values[place] > 0
        )


def order_program(task: OrderTask, covers: Sequence[Cover]) -> OrderProgram:
    """State the order."""
    program = Program()
    packs = {offer: program.whole(0, most) for offer, most in most_packs(task, covers).items()}
    for cover in covers:
        _cover(program, cover, packs)
    money, suppliers = Line(), Line()
    for supplier in sorted({offer.supplier for offer in packs}):
        places = {offer: place for offer, place in packs.items() if offer.supplier == supplier}
        gets = _gets_an_order(program, places)
        add_flag(suppliers, gets)
        money.plus(_cost(program, task, terms_of(task, supplier), places, gets))
    every = Line()
    for place in packs.values():
        every.add(place)
    return OrderProgram(program=program, packs=packs, money=money, suppliers=suppliers, all_packs=every)


def _cover(program: Program, cover: Cover, packs: Mapping[PackOffer, int]) -> None:
    """Packs that bring what is asked for; said once more in whole packs of each size, which leaves less between."""
    held = {offer: min(offer.pack_quantity, cover.units) for offer in cover.offers}
    program.row(_sum_of(packs, held), low=cover.units)
    for size in sorted(set(held.values())):
        counted = {offer: whole_units(quantity, size) for offer, quantity in held.items()}
        program.row(_sum_of(packs, counted), low=whole_units(cover.units, size))


def _sum_of(packs: Mapping[PackOffer, int], times: Mapping[PackOffer, Number]) -> Line:
    found = Line()
    for offer, number in times.items():
        found.add(packs[offer], number)
    return found


def most_packs(task: OrderTask, covers: Sequence[Cover]) -> dict[PackOffer, int]:
    """The most packs of each offer that an order can be better for, in the fixed order of parts and offers."""
    most: dict[PackOffer, int] = {}
    for cover in covers:
        for offer in cover.offers:
            most[offer] = max(most.get(offer, 0), whole_units(cover.units, offer.pack_quantity))
    for offer in most:
        threshold = _largest_threshold(terms_of(task, offer.supplier))
        if threshold and offer.pack_cost:
            most[offer] = max(most[offer], whole_units(threshold, offer.pack_cost))
    return dict(sorted(most.items(), key=lambda one: (one[0].part, offer_order(one[0]))))


def _largest_threshold(terms: Supplier) -> Decimal:
    free = (terms.free_freight_from or ZERO) if terms.freight else ZERO
    return max(free, (terms.minimum_order or ZERO) if terms.small_order_fee else ZERO)


def _gets_an_order(program: Program, places: Mapping[PackOffer, int]) -> Flag:
    gets = program.flag()
    for place in places.values():
        _, most = program.bounds[place]
        program.row(add_flag(Line().add(place), gets, -most), high=0)
    return gets


def _cost(program: Program, task: OrderTask, terms: Supplier, places: Mapping[PackOffer, int], gets: Flag) -> Line:
    unit = 10**task.digits
    goods, freight, fee = Line(), Line(), Line()
    for offer, place in places.items():
        goods.add(place, offer.pack_cost * unit)
        freight.add(place, offer.extra_freight * unit)
    if terms.freight:
        add_flag(freight, gets, terms.freight * unit)
        if terms.free_freight_from:
            add_flag(freight, _reached(program, goods, terms.free_freight_from * unit, gets), -terms.freight * unit)
    if terms.minimum_order and terms.small_order_fee:
        add_flag(fee, gets, terms.small_order_fee * unit)
        add_flag(fee, _reached(program, goods, terms.minimum_order * unit, gets), -terms.small_order_fee * unit)
    return Line().plus(program.rounded(goods)).plus(program.rounded(freight)).plus(_flat(program, fee))


def _flat(program: Program, fee: Line) -> Line:
    """A fee rounded: it is there whole or not at all, so its factors may be rounded one by one."""
    if fee.denominator() == 1:
        return fee
    whole = Line()
    for place, factor in fee.terms.items():
        size = (abs(Fraction(factor)) + Fraction(1, 2)).__floor__()
        whole.add(place, size if factor > 0 else -size)
    return whole


def _reached(program: Program, goods: Line, threshold: Decimal, gets: Flag) -> Flag:
    """A flag that can be true only where goods reach a threshold, and is where that is wanted."""
    reached = program.flag()
    program.row(add_flag(Line().plus(goods), reached, -threshold), low=0)
    program.row(add_flag(program.line_of(gets), reached, -1), low=0)
    return reached
