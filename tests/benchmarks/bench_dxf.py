"""A thousand outlines as DXF, a file each, against bare ezdxf that writes the same lines in the same run.

    python tests/benchmarks/bench_dxf.py

Budget: at most 2 times. What is more than bare is checked: closed, no crossing, no doubled outline.
"""

import io
import math
import time

import ezdxf

from survey.drawing import Drawing, Layer, Polyline, Role
from survey.handover.dxf import write_dxf

COUNT = 1000


def outline(number: int) -> Polyline:
    """Give a top whose back is as uneven as its number says, with a notch at its left."""
    back = [(600.0 - 10.0 * i, 400.0 + 2.0 * math.sin(0.3 * i + number)) for i in range(51)]
    points = ((40.0, 0.0), (600.0, 0.0), *back, (0.0, 400.0), (0.0, 60.0), (40.0, 60.0))
    return Polyline(points, closed=True, role=Role.FINISHED, layer=Layer.CUT)


def ours(lines: list[Polyline]) -> float:
    """Write all with the checks of a hand-over; return the seconds it took."""
    start = time.perf_counter()
    for number, line in enumerate(lines):
        write_dxf(io.BytesIO(), Drawing((line,), f"top-{number}"), "mm")
    return time.perf_counter() - start


def bare(lines: list[Polyline]) -> float:
    """Write the same outlines with ezdxf alone."""
    start = time.perf_counter()
    for line in lines:
        document = ezdxf.new("R2000", units=4)
        for layer in Layer:
            document.layers.add(layer.value)
        document.modelspace().add_lwpolyline(line.points, close=True, dxfattribs={"layer": "CUT"})
        document.write(io.StringIO())
    return time.perf_counter() - start


def main() -> None:
    """Print the ratio of the best of three runs each."""
    lines = [outline(number) for number in range(COUNT)]
    ours(lines[:20])
    bare(lines[:20])
    best = [min(run(lines) for _ in range(3)) for run in (ours, bare)]
    print(f"{COUNT} outlines: {best[0]:.2f} s, bare ezdxf {best[1]:.2f} s, ratio {best[0] / best[1]:.2f}")


if __name__ == "__main__":
    main()
