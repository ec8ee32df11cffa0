"""Trade words lead to their entries, once in a lesson, and nothing else is touched."""

from hypothesis import given
from hypothesis import strategies as st

from aqualib.lesson.glossary import with_links, without_links

MEDIA = "[media](00-start-here.ipynb#media)"


def test_the_first_use_is_linked_and_no_later_one():
    texts = ["A filter has media.", "Media again; Biofilm and TAN."]
    biofilm, tan = (
        "[Biofilm](00-start-here.ipynb#biofilm)",
        "[TAN](00-start-here.ipynb#total-ammonia)",
    )
    assert with_links(texts) == [
        f"A filter has {MEDIA}.",
        f"Media again; {biofilm} and {tan}.",
    ]


def test_headings_code_formulas_links_and_other_words_stay():
    text = (
        "# media\n`media` $media$ $$media$$ [media](06.ipynb) multimedia media-like <a id='media'>"
    )
    assert with_links([text]) == [text]
    assert with_links(["## Glossary\n- media: ..."]) == ["## Glossary\n- media: ..."]


def test_the_longer_of_two_words_wins():
    (linked,) = with_links(["heavy load of total ammonia as nitrogen"])
    assert "[heavy load](00-start-here.ipynb#load)" in linked
    assert "[total ammonia](00-start-here.ipynb#total-ammonia)" in linked


@given(st.lists(st.text(alphabet=" media#`$*[]()<>\nASN", max_size=60), max_size=4))
def test_putting_links_in_twice_changes_nothing_and_they_come_out_again(texts):
    once = with_links(texts)
    assert with_links(once) == once
    assert [without_links(text) for text in once] == [without_links(text) for text in texts]
