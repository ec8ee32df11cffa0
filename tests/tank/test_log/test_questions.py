"""What is asked of the keeper: everything at once, with both readings and the answer to give."""

from aqualib.tank.test_log.cells import read_heading
from aqualib.tank.test_log.questions import about_the_basis, about_the_dates


def test_one_question_for_all_columns():
    columns = [read_heading(text, 0) for text in ("Ammonia (ppm)", "NO2", "NO3")]
    words = about_the_basis(columns)
    assert "under “Ammonia (ppm)”, “NO2”, “NO3” as nitrogen, or as the whole ion?" in words
    assert 'basis="N" or basis="ion"' in words
    assert 'basis={"ammonia": "ion", "nitrite": "ion", "nitrate": "ion"}' in words


def test_of_one_column_no_list_is_asked():
    assert about_the_basis([read_heading("NO2-", 0)]).endswith('basis="N" or basis="ion".')


def test_both_readings_of_the_dates_are_named():
    words = about_the_dates(["03/04/2026", "25/03/2026", "05/04/2026", "04/04/2026"])
    assert "“03/04/2026” to “05/04/2026” can be" in words
    assert "3 April 2026 to 5 April 2026 (2 days) with the day first" in words
    assert "4 March 2026 to 4 May 2026 (61 days) with the month first" in words
    assert words.endswith('Answer with dates="day first" or dates="month first".')
    assert "“03/04/2026” can be 3 April 2026 with the day first, or 4 March 2026" in (
        about_the_dates(["03/04/2026"])
    )
