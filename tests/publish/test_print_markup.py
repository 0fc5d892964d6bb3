"""The walk over HTML: each piece becomes the call that it should, with its words in string literals."""

from __future__ import annotations

import pytest

from slackloop.publish.markup import render_html
from slackloop.publish.print_drawing import prepare_drawing
from slackloop.publish.print_line import Printing, Target
from slackloop.publish.print_markup import PageWriter
from slackloop.publish.print_tree import parse_html

SVG = '<svg viewBox="0 0 40 20" width="40" height="20"><title>T</title><path stroke="currentColor"/></svg>'


def write(html: str, links: dict[str, str] | None = None, labels: dict[str, str] | None = None) -> str:
    tree = parse_html(html)
    printing = Printing(lambda text: text, portrait_pt=493, landscape_pt=740, tallest_drawing_pt=500)
    targets = {href: Target(label) for href, label in (links or {}).items()}
    writer = PageWriter(printing, tree.drawings, level=2, links=targets.get, labels=labels or {})
    return ";".join(writer.blocks(tree.root.children))


@pytest.mark.parametrize(
    ("html", "typst"),
    [
        ("<p>one  two\nthree</p>", 'par("one two three")'),
        ("<p>a <strong>b</strong> c</p>", 'par({"a ";strong("b");" c"})'),
        ("<p>a<em> b </em>c</p>", 'par({"a";emph({" ";"b";" "});"c"})'),
        ("<p>CO<sub>2</sub> m<sup>3</sup></p>", 'par({"CO";sub("2");" m";super("3")})'),
        ("<p>a<br>b</p>", 'par({"a";linebreak();"b"})'),
        ("<h2>Bring</h2>", 'look.head(3,"Bring")'),
        ("<h6>deep</h6>", 'look.head(6,"deep")'),
        ("<ul><li>a</li><li>b</li></ul>", 'list(tight:true,"a","b")'),
        ("<ol start='3'><li><p>a</p></li></ol>", 'enum(tight:false,start:3,"a")'),
        ("<ul><li>a<ul><li>b</li></ul></li></ul>", 'list(tight:true,{par("a");list(tight:true,"b")})'),
        ("<dl><dt>t</dt><dd>d</dd></dl>", 'look.term("t");look.meaning("d")'),
        ("<ol class='steps' start='7'><li><p>go</p></li></ol>", 'look.step("7","go")'),
        ("<p><span class='tick'></span> Done</p>", 'par({look.tick;" Done"})'),
        ("<ul><li><span class='tick'></span> Done</li></ul>", 'list(tight:true,marker:look.tick,"Done")'),
        ("<p><strong class='value'>20 mm</strong></p>", 'par(look.value("20 mm"))'),
        ("<p><input type='checkbox'> Yes</p>", 'par({look.tick;" Yes"})'),
        ("<p><code>a  #b</code></p>", 'par(raw("a  #b"))'),
        ("<pre><code>a\n  b</code></pre>", 'look.code-lines("a\\u{a}  b")'),
        ("<blockquote><p>q</p></blockquote>", 'look.quoted({par("q")})'),
        ("<p>x <wombat>kept</wombat></p>", 'par({"x ";"kept"})'),
        ("<wombat><p>kept</p></wombat>", 'par("kept")'),
        ("<div class='doors'><p>gone</p></div><script>gone</script><button>gone</button>", ""),
        ("<h2>A<a class='headerlink' href='#a'>¶</a></h2>", 'look.head(3,"A")'),
        ("<p>loose <b>a", 'par({"loose ";strong("a")})'),
        ("</p></div>x", 'par("x")'),
        ("<p>&lt;b&gt; &amp;amp; &#35;x</p>", 'par("<b> &amp; #x")'),
    ],
)
def test_each_piece_becomes_its_call(html: str, typst: str) -> None:
    assert write(html) == typst


def test_a_link_inside_the_document_becomes_a_reference() -> None:
    html = '<p><a href="b.md">B</a></p><table><tr><td><a href="b.md">B</a></td></tr></table>'
    written = write(html, {"b.md": "page-1"})
    assert 'look.to("page-1","B")' in written
    assert 'look.to-short("page-1","B")' in written


def test_a_name_with_dashes_is_not_broken_in_a_reference() -> None:
    assert write('<p><a href="b.md">C-JACKET-1</a></p>', {"b.md": "l"}) == 'par(look.to("l",box("C-JACKET-1")))'


def test_a_dead_link_is_plain_text_and_an_outside_one_shows_its_address() -> None:
    assert write('<p><a href="gone.md">B</a></p>') == 'par("B")'
    assert write('<p><a href="javascript:x">B</a></p>') == 'par("B")'
    assert write('<p><a href="https://example.org/a">B</a></p>') == 'par({"B";" (https://example.org/a)"})'


def test_a_place_that_a_link_names_is_marked() -> None:
    assert write('<p>a <span id="x">b</span></p>', labels={"x": "l"}) == 'par({"a ";{look.mark("l");"b"}})'
    assert write('<h2 id="x">b</h2>', labels={"x": "l"}) == 'look.head(3,"b",name:"l")'
    assert write('<ul><li id="x">b</li></ul>', labels={"x": "l"}) == 'list(tight:true,{look.mark("l");"b"})'


@pytest.mark.parametrize("kind", ["caution", "warning", "deferral", "why", "reject", "note"])
def test_a_box_keeps_its_kind_and_title(kind: str) -> None:
    html = render_html(f'!!! {kind} "The title"\n\n    The words.\n')
    assert write(html) == f'look.note-box("{kind}","The title",{{par("The words.")}})'


def test_a_long_box_may_break() -> None:
    html = f'<div class="admonition note"><p>{"word " * 400}</p></div>'
    assert write(html).endswith(",long:true)")


def test_a_table_repeats_its_header_and_fills_short_rows() -> None:
    html = (
        "<table><thead><tr><th>A</th><th style='text-align: right'>B</th></tr></thead>"
        "<tbody><tr><td>1</td><td>2</td></tr><tr><td>3</td></tr></tbody></table>"
    )
    written = write(html)
    assert "align:(left+top,left+top,)" not in written
    assert "align:(left+top,right+top,)" in written
    assert 'header:(look.head-cell("A"),look.head-cell("B"),)' in written
    assert 'look.kept("1"),look.kept("2"),look.kept("3"),"")' in written


def test_the_line_over_a_table_stays_with_it() -> None:
    written = write("<p>a</p><p>b</p><table><tr><td>1</td></tr></table><p>c</p>")
    assert written.startswith('par("a");look.lead(par("b"));look.sheet(')
    assert written.endswith(';par("c")')


def test_a_table_cell_may_reach_over_columns_and_hold_a_hostile_span() -> None:
    html = "<table><tr><td colspan='2'>a</td></tr><tr><td>b</td><td colspan='x'>c</td></tr></table>"
    assert 'look.kept(span:2,"a"),look.kept("b"),look.kept("c")' in write(html)


def test_a_drawing_stands_alone_in_black_with_words_for_it() -> None:
    tree = parse_html(f"<p>before</p><figure>{SVG}<figcaption>C</figcaption></figure>")
    printing = Printing(lambda text: text, portrait_pt=493, landscape_pt=740, tallest_drawing_pt=500)
    writer = PageWriter(printing, tree.drawings, level=2, links={}.get, labels={})
    written = writer.blocks(tree.root.children)
    assert written[1] == 'look.drawing("drawing-1.svg",30.0pt,500.0pt,"T.",under:"C")'
    svg = printing.drawings["drawing-1.svg"].decode()
    assert 'stroke="black"' in svg
    assert svg.startswith('<svg font-family="Source Sans Pro" xmlns="http://www.w3.org/2000/svg" viewBox=')


def test_the_same_drawing_is_kept_once() -> None:
    tree = parse_html(f"<figure>{SVG}</figure><figure>{SVG}</figure>")
    printing = Printing(lambda text: text, portrait_pt=493, landscape_pt=740, tallest_drawing_pt=500)
    PageWriter(printing, tree.drawings, level=2, links={}.get, labels={}).blocks(tree.root.children)
    assert list(printing.drawings) == ["drawing-1.svg"]


def test_capitals_in_the_names_of_a_drawing_survive() -> None:
    assert parse_html(f"<p>{SVG}</p>").drawings == (SVG,)
    nested = f"<svg>{SVG}<g/></svg>"
    assert parse_html(f"<p>{nested}</p>{SVG}").drawings == (nested, SVG)


@pytest.mark.parametrize(
    ("inside", "expected"),
    [
        ("<text>a&nbsp;b</text>", "<text>a\u00a0b</text>"),
        ("<text>&lt;&#233;&#60;</text>", "<text>&lt;é&#60;</text>"),
        ('<path fill="var(--ink, red)"/>', '<path fill="red"/>'),
        ('<path fill="var(--ink)"/>', '<path fill="black"/>'),
        ('<text style="font-family: Web, serif; x: y"/>', '<text style="font-family: Source Sans Pro; x: y"/>'),
    ],
)
def test_a_drawing_loses_what_only_a_browser_knows(inside: str, expected: str) -> None:
    svg = prepare_drawing(f'<svg viewBox="0 0 10 10">{inside}</svg>', lambda text: text).svg.decode()
    assert expected in svg


def test_the_size_of_a_drawing_comes_from_its_view_box_when_it_states_none() -> None:
    drawing = prepare_drawing('<svg viewBox="0 0 400 200"></svg>', lambda text: text)
    assert (drawing.width_pt, drawing.height_pt) == (300.0, 150.0)
    half = prepare_drawing('<svg viewBox="0 0 400 200" width="200px"></svg>', lambda text: text)
    assert (half.width_pt, half.height_pt) == (150.0, 75.0)


def test_a_sign_at_the_head_of_every_item_stands_in_place_of_a_bullet() -> None:
    sign = '<span class="sign-mark"><svg viewBox="0 0 1 1" width="1" height="1"></svg></span>'
    assert "marker:[]" in write(f"<ul><li>{sign}Boots</li><li><p>{sign}Glasses</p></li></ul>")
    assert "marker:[]" not in write(f"<ul><li>{sign}Boots</li><li>Glasses</li></ul>")
