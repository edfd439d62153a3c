"""Words that suppliers put above their columns, in several languages (common practice, no source).

A header is compared word by word, without case, accents and marks. A phrase that is the whole header counts most, one
that is part of it less. A word that speaks against a field takes the header out of the running for it.
"""

from __future__ import annotations

import re
import unicodedata

from quotekit.suppliers.price_basis import units_in_header

WORDS: dict[str, tuple[str, ...]] = {
    "number": (
        "part number", "part no", "part nr", "part", "part id", "item number", "item no", "item id", "item", "article",
        "article number", "article no", "sku", "product code", "product number", "product id", "stock number",
        "stock code", "catalog number", "catalogue number", "cat no", "material", "material number", "mpn", "code",
        "number", "no", "nr", "partkey", "partno", "partnum", "partnumber", "itemno", "itemnumber",
        "artikelnummer", "artikel nr", "artikelnr", "artikel", "art nr", "artnr",
        "bestellnummer", "best nr", "teilenummer", "teile nr", "sachnummer", "materialnummer", "reference", "ref",
        "reference article", "numero", "code article", "no article", "codigo", "referencia", "no de parte", "codice",
        "codice articolo", "articolo", "artikelkode", "varenummer", "varenr", "bestelnummer", "onderdeelnummer",
        "numer", "numer czesci", "indeks", "kod", "referencia do produto", "numero de peca", "cislo", "objednaci cislo",
        "артикул", "номер", "код",
    ),
    "cost": (
        "cost", "net", "net price", "net cost", "dealer", "dealer price", "dealer cost", "dealer net", "your price",
        "your cost", "wholesale", "wholesale price", "wholesale cost", "trade price", "trade", "buying price",
        "purchase price", "unit cost", "supplycost", "supply cost", "ek", "ek preis", "einkaufspreis", "netto",
        "nettopreis", "haendlerpreis", "handlerpreis", "ihr preis", "prix net", "prix d achat", "prix achat", "pa ht",
        "prix revendeur", "precio neto", "coste", "costo", "precio distribuidor", "prezzo netto", "prezzo acquisto",
        "inkoopprijs", "nettoprijs", "inkopspris", "nettopris", "indkobspris", "cena netto", "cena zakupu",
        "preco liquido", "preco de custo", "custo", "nakupni cena", "закупочная цена",
    ),
    "list_price": (
        "list", "list price", "retail", "retail price", "retailprice", "msrp", "rrp", "srp", "suggested retail",
        "suggested price", "current price", "recommended price", "uvp", "listenpreis", "bruttopreis", "brutto",
        "vk preis", "verkaufspreis", "prix public", "prix tarif", "tarif", "prix catalogue", "pp ht", "precio de lista",
        "pvp", "precio publico", "prezzo di listino", "listino", "adviesprijs", "brutoprijs", "catalogusprijs",
        "listpris", "bruttopris", "vejledende pris", "liste", "cirkapris", "ca pris",
        "cena katalogowa", "cena detaliczna", "preco de tabela",
        "cenikova cena", "розничная цена",
    ),
    "pack": (
        "pack", "pack qty", "pack quantity", "pack size", "package", "package quantity", "package qty", "pkg qty",
        "pkg", "box qty", "carton qty", "multiple", "order multiple", "qty per pack", "pieces per pack", "std pack",
        "std pkg",
        "vpe", "verpackungseinheit", "verpackung", "packungsgroesse", "packungsgrosse", "menge pro packung", "ve",
        "conditionnement", "cond", "quantite par lot", "embalaje", "unidad de embalaje", "cantidad por paquete",
        "confezione", "quantita confezione", "verpakking", "verpakkingseenheid", "forpackning", "forpakning",
        "opakowanie",
        "embalagem", "baleni", "упаковка",
    ),
    "price_for": (
        "price per", "price unit", "per", "price quantity", "price qty", "pricing unit", "price basis", "preiseinheit",
        "pe", "preis pro", "preis je", "prix pour", "unite de prix", "unidad de precio", "prezzo per", "prijs per",
        "prijseenheid", "prisenhet", "prisenhed", "cena za",
    ),
    "unit": (
        "unit", "units", "uom", "um", "u m", "unit of measure", "einheit", "mengeneinheit", "me", "unite", "unidad",
        "unita",
        "eenheid", "enhet", "enhed", "jednostka", "jm", "unidade", "jednotka", "mj", "единица",
    ),
    "currency": (
        "currency", "curr", "cur", "ccy", "waehrung", "wahrung", "devise", "monnaie", "moneda", "divisa", "valuta",
        "waluta", "moeda", "mena", "валюта",
    ),
    "dated": (
        "valid from", "effective", "effective date", "effective from", "from date", "price date", "date", "start date",
        "rec start date", "gueltig ab", "gultig ab", "preis ab", "datum", "valable du", "date d effet", "valido desde",
        "fecha", "valido dal", "data", "geldig vanaf", "galler fran", "gyldig fra", "gaelder fra", "wazne od",
        "obowiazuje od", "platnost od", "дата",
    ),
    "until": (
        "valid to", "valid until", "expires", "expiry", "expiry date", "end date", "rec end date", "to date",
        "gueltig bis", "gultig bis", "valable jusqu au", "valido hasta", "valido fino al", "geldig tot", "galler till",
        "gyldig til", "wazne do", "platnost do",
    ),
    "lead_days": (
        "lead time", "lead days", "lead", "leadtime", "delivery", "delivery time", "delivery days", "lieferzeit",
        "liefertage", "delai", "delai de livraison", "plazo", "plazo de entrega", "consegna", "tempo di consegna",
        "levertijd", "leveranstid", "leveringstid", "czas dostawy", "prazo de entrega", "dodaci lhuta", "срок поставки",
    ),
    "superseded_by": (
        "superseded by", "supersedes to", "superseded", "supersession", "replaced by", "replacement", "new number",
        "new part number", "new part no", "successor", "substitute", "ersetzt durch", "nachfolger", "ersatz",
        "nachfolgeartikel", "remplace par", "remplacement", "nouvelle reference", "reemplazado por", "sustituido por",
        "sostituito da", "vervangen door", "ersatt av", "ersatts av", "erstattet af", "zastapiony przez", "zamiennik",
        "substituido por", "nahrazeno", "замена",
    ),
    "description": (
        "description", "desc", "part description", "item description", "item desc", "name", "part name", "product",
        "product name", "title", "text", "designation", "bezeichnung", "beschreibung", "artikelbezeichnung",
        "benennung",
        "libelle", "descripcion", "denominacion", "descrizione", "denominazione", "omschrijving", "benamning",
        "beskrivning", "beskrivelse", "betegnelse", "opis", "nazwa", "descricao", "designacao", "popis", "nazev",
        "наименование", "название",
    ),
}  # fmt: skip

_FORMER = tuple("old previous former alt alte alter bisher ancien anterior vecchio oud".split())

_NO_MONEY = tuple(
    "weight wt gewicht gew poids peso vikt vaegt waga content inhalt discount disc rabatt remise descuento sconto "
    "korting rabat desconto percent percentage pct prozent group gruppe code change".split()
)
"""Weights, discounts and groups: `Net weight` and `Dealer discount` are numbers, and no price."""

AGAINST: dict[str, tuple[str, ...]] = {
    "number": (
        "old", "new", "superseded", "replaced", "replacement", "successor", "alte", "neue", "ersetzt", "barcode", "ean",
        "upc", "price", "preis", "prix", "description", "customs", "tariff", "group", "order", "name",
    ),
    "cost": ("list", "retail", "shipping", "freight", "core", "currency", "date", *_FORMER, *_NO_MONEY),
    "list_price": ("net", "netto", "cost", "currency", "date", *_FORMER, *_NO_MONEY),
    "pack": ("price", "weight", "unit", "minimum"),
    "unit": ("price", "cost", "preis", "prix", "precio", "prezzo", "prijs", "pris", "cena", "preco", "weight", "no"),
    "dated": ("end", "expiry", "until", "to", "bis"),
    "description": ("long", "code", "id"),
}  # fmt: skip
"""Words that say the header is something else."""

_SHORT = ("net", "ek", "uvp", "rrp", "srp", "pvp", "vpe", "sku", "uom", "mpn", "ref")
"""Short words that say something within a longer header; `per` and `no` do not: `Qty per pack` is no price basis."""

PRICE_WORDS = ("price", "preis", "prix", "precio", "prezzo", "prijs", "pris", "cena", "preco", "цена", "amount")
"""A price, without a word of which."""

_UNFOLDED = {"ß": "ss", "ø": "o", "æ": "ae", "ł": "l", "đ": "d", "œ": "oe", "ı": "i"}


def header_words(header: str) -> tuple[str, ...]:
    """A header as plain words.

    >>> header_words("Artikel-Nr."), header_words("listPrice (EUR)"), header_words("Größe")
    (('artikel', 'nr'), ('list', 'price', 'eur'), ('grosse',))
    """
    parted = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", header)
    folded = "".join(_UNFOLDED.get(letter, letter) for letter in parted.casefold())
    plain = "".join(letter for letter in unicodedata.normalize("NFKD", folded) if not unicodedata.combining(letter))
    return tuple(re.findall(r"[^\W_]+", plain.replace("#", " no ")))


def header_score(header: str, field: str) -> tuple[int, str]:
    """How well a header names a field, from 0 to 100, and the phrase that says so.

    >>> header_score("Dealer Price", "cost"), header_score("i_wholesale_cost", "cost"), header_score("Colour", "cost")
    ((100, 'dealer price'), (80, 'wholesale cost'), (0, ''))
    """
    words = header_words(header)
    if set(words) & set(AGAINST.get(field, ())) or (field in ("cost", "list_price") and _is_percentage(header)):
        return 0, ""
    if field == "price_for" and units_in_header(header) > 1:
        return 0, ""  # `Price per 100` holds prices
    best, said = 0, ""
    for phrase in WORDS[field]:
        wanted = tuple(phrase.split())
        if words == wanted:
            return 100, phrase
        telling = len(phrase) > 3 or phrase in _SHORT
        score = 40 + 20 * len(wanted) if telling and _holds(words, wanted) else 0
        if min(score, 90) > best:
            best, said = min(score, 90), phrase
    return best, said


def _holds(words: tuple[str, ...], wanted: tuple[str, ...]) -> bool:
    size = len(wanted)
    return any(words[at : at + size] == wanted for at in range(len(words) - size + 1))


def is_price_header(header: str) -> bool:
    """Whether a header speaks of a price at all."""
    spoken = any(any(price in word for price in PRICE_WORDS) for word in header_words(header))
    return spoken and not _is_percentage(header)


def _is_percentage(header: str) -> bool:
    """Whether a header has a percent sign behind a word (`Net %`); behind a number it tells of a tax or a discount."""
    return re.search(r"(?<![0-9\s])\s*%", header) is not None
