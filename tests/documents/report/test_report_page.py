"""The page of three jobs of our own: what the customer reads, in which order, and that it needs nothing else."""

from __future__ import annotations

import re
from collections import Counter
from itertools import pairwise

import pytest

from tests.helpers import report_jobs as jobs
from tests.helpers.papers.page_parser import Page
from wizard.documents.report import use_part
from wizard.documents.report.customer_details import read_customer
from wizard.documents.report.session_report import ReportSource, session_report
from wizard.documents.report.shop_annex import RecordSeal
from wizard.documents.report.shop_details import read_logo, read_shop
from wizard.documents.writers.markdown import MARKDOWN
from wizard.documents.writers.page.html_page import html_page
from wizard.journal.sealed_block import grouped

ASSISTED = re.compile(
    r"(https?:)?//|url\(|@import|javascript:|<script|<link|<base|<iframe|<object|\son\w+=", re.I
)
"""What would fetch or run something."""


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    root = tmp_path_factory.mktemp("home")
    return root, jobs.demo_home(root)


@pytest.fixture(scope="module")
def reports(home):
    """The three reports and what they are made of, by their cases."""
    root, ids = home
    store = jobs.Store(root, jobs.CaseClock(), jobs.sound)
    shop = read_shop(root)
    found = {}
    for case, name in ids.items():
        loaded, folder = store.load(name), store.home.session_folder(name)
        source = ReportSource(
            loaded.view,
            folder,
            RecordSeal(len(loaded.records), loaded.chain, loaded.seal),
            shop,
            read_logo(root, shop),
            read_customer(folder / "customer.toml"),
        )
        found[case] = (source, session_report(source))
    return found


@pytest.fixture(scope="module")
def pages(reports):
    return {case: html_page(report) for case, (_source, report) in reports.items()}


@pytest.mark.parametrize("case", [jobs.PROVED, jobs.DECLINED, jobs.NOTHING])
def test_a_page_needs_nothing_else_and_names_what_it_shows(pages, case):
    """No script, link or address; a language, a policy; headings step by one; every picture and table has its words."""
    data = pages[case]
    page = Page.of(data)
    # The only address is the name of SVG's vocabulary, which nothing fetches.
    text = data.decode().replace("http://www.w3.org/2000/svg", "")
    images = re.sub(r'src="data:image/(png|jpeg);base64,[A-Za-z0-9+/=]+"', "", text)
    assert not ASSISTED.search(images) and not page.odd
    assert page.named("html") == [{"lang": "en"}]
    policies = [m["content"] for m in page.named("meta") if m.get("http-equiv") == "Content-Security-Policy"]
    assert policies == ["default-src 'none'; style-src 'unsafe-inline'; img-src data:"]
    levels = [level for level, _words in page.headings]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(b - a <= 1 for a, b in pairwise(levels))
    assert all(words.strip() for _level, words in page.headings)
    assert all(img.get("alt") and img["src"].startswith("data:image/") for img in page.named("img"))
    assert all(svg.get("role") == "img" and svg.get("aria-label") for svg in page.named("svg"))
    assert {th.get("scope") for th in page.named("th")} == {"col", "row"}
    ids = [a["id"] for _name, a in page.elements if "id" in a]
    assert len(ids) == len(set(ids))


def test_the_customers_page_of_a_proved_job_says_all_that_it_must(pages, reports):
    """In this order: may it be used, what was wrong, done, in numbers, photos, how left, whom to call, cost, signed."""
    page = Page.of(pages[jobs.PROVED])
    heads = [words for level, words in page.headings if level == 2]
    assert heads == [
        "May it be used?", "What you told us", "What was found", "What was done", "In numbers",
        "Photos before the repair", "Photos after the repair", "How we left the machine", "Whom to call",
        "When to look again", "From now on", "What it costs", "Warranty", "Signed",
        "Annex for the shop: the whole record",
    ]  # fmt: skip
    front = page.text.partition("Annex for the shop")[0]
    for words in (
        "Repaired and proved.",
        "Nothing that was found or told forbids its use.",
        "It bangs when the spin begins.",
        "New dampers, all of them.",
        "Before: 17 ± 3 N, not good",
        "After: 61 ± 3 N, good",
        "Should be: 40 to 80 N (estimate)",
        "Front left damper, grease at its seal.",
        "Telephone: 01632 960 114",
        "M. Thorne",
        "Tax number XX 000 111 222",
    ):
        assert words in front, words
    source, _report = reports[jobs.PROVED]
    assert front.rstrip().endswith(f"Seal of the record: {grouped(source.seal.closing)}")
    assert source.seal.closing == source.seal.last


def test_what_it_costs_is_counted_by_hand(pages):
    """3 dampers at 21.90, 3 sets of pins at 4.25, 2 hours at 48, the way at 15.50: 65.70 + 12.75 + 96 + 15.50."""
    text = Page.of(pages[jobs.PROVED]).text
    assert "Sum 189.95 EUR" in re.sub(r"\s+", " ", text)
    assert (
        "What it costs" not in Page.of(pages[jobs.NOTHING]).text
    )  # No part was fitted, no line written down.


def test_a_declined_repair_warns_first_and_says_why(pages):
    """The warning is grave and in words; what was declined stands with its risk; no advice for using it."""
    page = Page.of(pages[jobs.DECLINED])
    front = page.text.partition("Annex for the shop")[0]
    assert {"class": "alert grave", "role": "note"} in page.named("div")
    warned, told = front.index("WARNING. Do not use this machine."), front.index("What you told us")
    assert warned < told < front.index("What you decided against") < front.index("The risk: ")
    assert "Out-of-use tag: on the machine" in front and "Turn the taps off after every wash" not in front
    assert use_part.NOTHING not in front and "Warranty" not in front


def test_nothing_found_claims_nothing_else(pages):
    """It says what was measured, and repairs, photos and warranty have no place."""
    front = Page.of(pages[jobs.NOTHING]).text.partition("Annex for the shop")[0]
    assert "No fault confirmed." in front and "Photos" not in front and "Warranty" not in front
    assert "The hollow ring is the reading." in front and "before the repair" not in front


@pytest.mark.parametrize("case", [jobs.PROVED, jobs.DECLINED, jobs.NOTHING])
def test_the_annex_has_all_of_the_technicians_record(pages, reports, case):
    """Every word of the record's paper stands in it as often, its rulers as pictures; then its seals."""
    from wizard.documents.document_tree import Document, Section
    from wizard.documents.papers.technician_record import technician_record

    source, _report = reports[case]
    annex = Page.of(pages[case]).text.partition("Annex for the shop: the whole record")[2]
    record = technician_record(source.view)
    sections = [b for b in record.blocks if isinstance(b, Section) and b.title not in DRAWN]
    plain = MARKDOWN.write(Document("", (*record.blocks[:1], *sections))).decode().replace("```text", "")
    assert not Counter(re.findall(r"\w{2,}", plain)) - Counter(re.findall(r"\w{2,}", annex))
    rulers = next(
        b for b in record.blocks if isinstance(b, Section) and b.title == "Readings on their limits"
    )
    assert len(Page.of(pages[case]).named("svg")) >= len(rulers.blocks) - 1 > 10
    assert source.seal.last in annex and "session verify" in annex


DRAWN = ("Readings on their limits",)


def test_the_same_record_makes_the_same_bytes(reports, pages):
    """Nothing in a page is of the moment at which it was made."""
    assert html_page(reports[jobs.PROVED][1]) == pages[jobs.PROVED]


def test_a_job_under_way_says_so_and_leaves_room_for_the_seal(tmp_path):
    """Nothing is said of using it; no event closed a visit."""
    store = jobs.Store(tmp_path, jobs.CaseClock(), jobs.sound)
    opened, driver = jobs.begin(store, jobs.PROVED)
    with opened:
        for _ in range(40):
            driver.advance()
    loaded = store.load(opened.name)
    source = ReportSource(
        loaded.view, opened.folder, RecordSeal(len(loaded.records), loaded.chain, loaded.seal)
    )
    text = Page.of(html_page(session_report(source))).text
    assert loaded.seal == "" and use_part.GOING_ON in text and use_part.NOTHING not in text
    assert "____ ____ ____ ____ (shown when the visit is closed: write it here)" in text
    assert "Shop: ____" in text and "none: the visit is not closed" in text


def test_an_age_says_when_its_limit_turns(reports):
    """Rubber hoses of 0.5 years in January 2026: watched over 3 years, from about 2028 on; not good over 5, 2030."""
    from wizard.documents.report.ages_part import ages_section
    from wizard.documents.writers.screen_lines import words

    source, _report = reports[jobs.PROVED]
    (listed,) = ages_section(source.view).blocks
    (item,) = listed.items
    says = words(item.text)
    assert "0.51 ± 0.29 years, good. (Measured.)" in says
    assert "Over 3 years, from about 2028 on, it is to be watched." in says
    assert "Over 5 years, from about 2030 on, it is not good." in says


def test_a_hose_that_was_changed_has_no_age_any_more(reports):
    """Its reading is of the hose that went; the flow's own advice stays."""
    from wizard.documents.report.ages_part import ages_section
    from wizard.engine.state.fold import fold_all
    from wizard.engine.state.job_view import JobView
    from wizard.flowcheck.cases.case_player import play

    played = play(jobs.flow(), jobs.cases()["way-hose-old"])
    view = JobView.of(jobs.flow(), fold_all(played.records))
    assert any(r.fault == "hoses" and r.holds for r in view.state.repairs)
    found = ages_section(view)
    assert found is None or "rubber" not in str(found)


def test_a_part_without_a_price_is_named_and_a_discount_taken_off(reports):
    """3 dampers at 20.005 are 20.01 each (halves go up): 60.03, less 10; the pins have no price."""
    from wizard.documents.report.cost_part import cost_part
    from wizard.documents.report.customer_details import ChargeEntry, CustomerDetails
    from wizard.documents.report.shop_details import ShopDetails

    source, _report = reports[jobs.PROVED]
    charge = CustomerDetails(charge=(ChargeEntry("Less", -10.0),))
    part = cost_part(source.view, ShopDetails(prices={"damper": 20.005}), charge)
    table, bare = part.blocks
    cells = [["".join(s.text for s in cell.spans) for cell in row] for row in table.rows]
    assert cells == [
        ["Damper (change the whole set)", "3", "20.01", "60.03"],
        ["Less", "1", "-10.00", "-10.00"],
        ["Sum", "", "", "50.03"],
    ]
    assert "Pins and bushes of one damper, both ends" in str(bare)
    assert cost_part(source.view, ShopDetails(), CustomerDetails()) is None
