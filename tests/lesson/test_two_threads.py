import sys
import threading

from aqualib.lesson.panels.nitrogen_flow import nitrogen_flow_panel


def test_two_threads_take_turns():
    """JupyterLab runs cells in one thread and answers the page in another."""
    panel = nitrogen_flow_panel()
    right = {panel.set(feed=feed): panel.view.png for feed in (5, 6, 7)}
    seen = []
    panel.view.observe(lambda change: seen.append((change["new"], panel.view.png)), "sentence")
    usual = sys.getswitchinterval()
    sys.setswitchinterval(1e-5)
    try:
        hands = [
            threading.Thread(target=lambda: [panel.set(feed=5 + turn % 3) for turn in range(20)])
            for _ in range(2)
        ]
        for hand in hands:
            hand.start()
        for hand in hands:
            hand.join()
    finally:
        sys.setswitchinterval(usual)
    assert len(seen) > 10
    assert all(right[sentence] == png for sentence, png in seen)
    assert right[panel.sentence] == panel.view.png
