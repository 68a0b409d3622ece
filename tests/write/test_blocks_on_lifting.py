"""A tool that only goes up or down repeats no X or Y, however finely an arc left them."""

from small_job import job, motions, path, plan

from compiler.geometry import Point
from compiler.motion import Point3, Rapid, Role, Straight, Turn
from compiler.write import write


def test_lifting_off_an_arc_is_one_word():
    place = Point3(1.0, 12.34567, -5)
    moves = (
        Rapid(Point3(1.0, 2.34567, 5)),
        Straight(Point3(1.0, 2.34567, -5), 300, Role.PLUNGE),
        Turn(place, Point(1.0, 7.34567), True, 900, Role.CUT),
        Rapid(Point3(place.x, place.y, 5)),
        Rapid(Point3(40, 40, 5)),
    )
    lines = write(job=job(), plan=plan(), motions=motions(path(*moves))).text.splitlines()
    at = next(i for i, row in enumerate(lines) if row.startswith("G3"))
    assert lines[at : at + 3] == ["G3 X1.0 Y12.3457 I0.0 J5.0 F900.0", "G0 Z5.0", "X40.0 Y40.0"]
