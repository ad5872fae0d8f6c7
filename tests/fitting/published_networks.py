"""Published networks and what their sources print.

Lengths in metres, angles read as degrees, minutes, seconds, standard deviations of angles in
seconds. Published standard deviations are a posteriori, in millimetres. Unless said otherwise the
figures come from F. Krumm, Geodetic Network Adjustment Examples, Univ. Stuttgart, Rev. 3.5 (2020),
which collects them from the textbooks named at each network. What is called "computed" was
computed with scipy from those inputs, independently of this project.
"""

from collections.abc import Sequence
from dataclasses import replace
from math import radians

from networks import Angle, Distance, Levelling, Network, Published

ARCSECOND = radians(1 / 3600)


def dms(text: str) -> float:
    """Read "107 29 40.5" degrees, minutes, seconds as radians."""
    degrees, minutes, seconds = (float(part) for part in text.split())
    return radians(degrees + minutes / 60 + seconds / 3600)


def distances(text: str, sd: float | None = None) -> tuple[Distance, ...]:
    """Read lines "from to value [sd]"."""
    rows = [line.split() for line in text.strip().splitlines()]
    return tuple(
        Distance((row[0], row[1]), float(row[2]), float(row[3]) if sd is None else sd) for row in rows
    )


def angles(text: str, sd: float | None = None) -> tuple[Angle, ...]:
    """Read lines "at from to d m s [sd]", sd in seconds."""
    rows = [line.split() for line in text.strip().splitlines()]
    return tuple(
        Angle(*row[:3], dms(" ".join(row[3:6])), (float(row[6]) if sd is None else sd) * ARCSECOND)
        for row in rows
    )


def points(text: str) -> dict[str, tuple[float, float]]:
    """Read lines "name x y"."""
    rows = [line.split() for line in text.strip().splitlines()]
    return {name: (float(x), float(y)) for name, x, y in rows}


def adjusted(text: str) -> dict[str, tuple[float, float, float, float]]:
    """Read lines "name x sd y sd"."""
    rows = [line.split() for line in text.strip().splitlines()]
    return {row[0]: tuple(float(part) for part in row[1:]) for row in rows}  # type: ignore[misc]


THREE_TAPES = Network(
    source="Strang & Borre (1997) example 10.1, p. 345; r computed",
    fixed=points("1 170.71 270.71\n2 100.00 100.00\n3 241.42 100.00"),
    start=points("P 170.71 170.71"),
    distances=distances("1 P 100.01\n2 P 100.02\n3 P 100.03", sd=0.01),
    freedom=1,
    published=Published(
        points=adjusted("P 170.7029 33.03 170.7234 23.35"),
        s0=3.30293,
        redundancy=(0.5000, 0.2500, 0.2499),
        standardized=(-3.303, -3.303, -3.303),
    ),
)

FOUR_POINTS_FREE = Network(
    source="Strang & Borre (1997) example 12.4, p. 411; s0 and distances by GNU Gama; r computed",
    fixed={},
    start=points("P 170.71 170.71\n1 170.71 270.71\n2 100.00 100.00\n3 241.42 100.00"),
    distances=distances(
        """
        1 P 100.01
        2 P 100.02
        3 P 100.03
        1 2 184.785
        2 3 141.44
        1 3 184.805
        """,
        sd=0.01,
    ),
    freedom=1,
    published=Published(
        points=adjusted(
            """
            P 170.7123 10.79 170.7185 6.82
            1 170.7032 8.10 270.7213 5.51
            2 99.9912 6.41 99.9971 7.05
            3 241.4333 6.40 99.9830 7.05
            """
        ),
        s0=1.1763625,
        redundancy=(0.3743, 0.1871, 0.1872, 0.1096, 0.0321, 0.1097),
        distances=(
            100.0028027,
            100.0149117,
            100.0249103,
            184.7888946,
            141.4421076,
            184.8088957,
        ),
    ),
)

SQUARE = Network(
    source="Benning (2011) example 8-2; r = 1/7 of a side, 2/7 of a diagonal, exactly",
    fixed=points("1 0 1000\n2 1000 1000"),
    start=points("3 0 0\n4 1000 0"),
    distances=distances(
        """
        1 3 1000.02
        1 4 1414.20
        2 3 1414.24
        2 4 999.98
        3 4 1000.00
        """,
        sd=0.01,
    ),
    freedom=1,
    published=Published(
        points=adjusted("3 -0.0096 9.01 -0.0226 6.37\n4 999.9930 9.01 0.0174 6.37"),
        s0=0.68824,
        redundancy=(1 / 7, 2 / 7, 2 / 7, 1 / 7, 1 / 7),
    ),
)

TRILATERATION = Network(
    source="Ghilani (2010) example 14.5; distances by GNU Gama; r computed",
    fixed=points("Badger 2410000.000 390000.000\nBucky 2411820.000 386881.222"),
    start=points("Wisconsin 2415776.819 391043.461\nCampus 2416892.670 387603.450"),
    distances=distances(
        """
        Badger Wisconsin 5870.302
        Badger Campus 7297.588
        Wisconsin Campus 3616.434
        Wisconsin Bucky 5742.878
        Campus Bucky 5123.760
        """,
        sd=0.01,
    ),
    freedom=1,
    published=Published(
        points=adjusted(
            """
            Wisconsin 2415776.9044 148.79 391043.2945 220.61
            Campus 2416892.6955 103.78 387603.2551 270.54
            """
        ),
        s0=13.5905,
        redundancy=(0.1619, 0.3380, 0.0731, 0.2057, 0.2213),
        distances=(5870.3566835, 7297.5089895, 3616.4707510, 5742.8163554, 5123.8239267),
    ),
)

BRACED = Network(
    source="Ghilani (2010) problem 21.10; s0 computed",
    fixed=points("A 5600.544 4966.236\nB 6061.624 8043.173"),
    start=points("C 9787.823 8038.529\nD 9260.886 4843.911"),
    distances=distances(
        """
        A B 3111.291 .010
        B C 3726.220 .012
        C D 3237.783 .010
        D A 3662.372 .012
        A C 5193.471 .016
        B D 4524.471 .014
        """
    ),
    angles=angles(
        """
        A B C 45 12 34
        A C D 38 10 54
        B C D 44 55 43
        B D A 53 31 23
        C D A 44 21 59
        C A B 36 20 26
        D A B 43 06 11
        D B C 54 22 00
        """,
        sd=2.1,
    ),
    freedom=10,
    published=Published(
        points=adjusted("C 9787.8250 95.23 8038.5354 167.78\nD 9260.8604 97.61 4843.9341 151.17"),
        s0=9.28980,
    ),
)

TEN_POINTS = Network(
    source="Ghilani & Wolf (2012) section 16.9.5; s0 computed",
    fixed=points("A 415.273 929.868"),
    start=points(
        """
        B 507.934 764.652
        C 618.952 815.353
        D 723.852 753.287
        E 826.128 856.438
        F 794.659 1021.655
        G 578.741 1103.826
        H 652.221 980.245
        J 600.595 899.272
        K 713.362 877.418
        """
    ),
    distances=distances(
        """
        A B 189.436
        B C 122.050
        C D 121.901
        D E 145.256
        E F 168.180
        F G 231.021
        G A 238.714
        G H 143.780
        H K 119.631
        K E 114.695
        H J 96.036
        J C 85.908
        """,
        sd=0.007,
    ),
    angles=(
        *angles(
            """
            A G B 107 29 40 8.9
            B A C 94 44 24 11.7
            C B D 235 09 26 13.7
            D C E 104 08 40 12.7
            E D F 124 27 36 11.2
            F E G 121 37 08 9.5
            G F A 112 23 00 8.3
            G F H 38 25 46 9.9
            H G J 243 15 20 14.6
            J H C 135 08 30 18.0
            H J G 116 44 44 14.6
            H J K 296 44 38 15.0
            K H E 131 16 30 14.3
            E K F 68 40 36 12.3
            """
        ),
        Angle("A", None, "B", dms("150 42 51"), 0.001 * ARCSECOND),
    ),
    freedom=9,
    published=Published(
        points=adjusted(
            """
            B 507.9380 2.14 764.6451 3.82
            C 618.9547 4.59 815.3499 4.93
            D 723.8666 6.42 753.2855 6.85
            E 826.1331 5.28 856.4409 9.23
            F 794.6611 5.81 1021.6540 8.59
            G 578.7455 5.78 1103.8272 4.51
            H 652.2263 4.93 980.2450 6.09
            J 600.5991 4.97 899.2696 5.75
            K 713.3703 5.58 877.4179 7.33
            """
        ),
        s0=0.697667,
    ),
)

HOEPKE = Network(
    source="Höpke (1980) example 35.5, Sattenhausen, 1059-75 as its results need it; s0 computed",
    fixed={},
    start=points(
        """
        20 3579041.416 5707194.412
        75 3575403.277 5707682.612
        86 3575322.061 5708700.952
        87 3576581.778 5709938.106
        1006 3578284.289 5708758.641
        1011 3577052.332 5708103.204
        1059 3576852.894 5706633.642
        1087 3576213.699 5709199.889
        """
    ),
    distances=distances(
        """
        86 1006 2962.832
        86 87 1765.657
        86 1087 1021.768
        86 75 1021.536
        86 1011 1830.646
        86 20 4012.921
        86 1059 2572.516
        1087 87 824.863
        1087 20 3466.722
        1087 1059 2644.789
        1087 75 1720.130
        1087 1006 2117.134
        1087 1011 1380.633
        1006 75 3075.373
        1006 20 1737.824
        1006 1059 2562.134
        1006 1011 1395.459
        1006 87 2071.154
        1011 87 1894.263
        1011 75 1701.824
        1011 1059 1483.088
        1011 20 2186.853
        1059 20 2259.167
        1059 75 1789.449
        1059 87 3315.630
        20 87 3684.782
        20 75 3670.735
        """,
        sd=0.001,
    ),
    freedom=14,
    published=Published(
        points=adjusted(
            """
            20 3579041.4042 2.09 5707194.4039 2.65
            75 3575403.2853 2.32 5707682.6565 2.65
            86 3575322.0203 2.11 5708700.9554 2.40
            87 3576581.7857 2.79 5709938.0995 2.26
            1006 3578284.2920 2.03 5708758.6275 2.68
            1011 3577052.3287 2.40 5708103.2070 2.73
            1059 3576852.9606 2.47 5706633.5764 2.12
            1087 3576213.6691 2.41 5709199.9319 2.27
            """
        ),
        s0=4.95439,
    ),
)

HOEPKE_AS_PRINTED = HOEPKE.read(("1059", "75"), 1789.499)
"""The book's list prints 1789.499, a real slip of 50 mm."""

QUADRILATERAL_WITH_BLUNDER = Network(
    source='Ghilani (2010) example 16.2; the source labels the angle TQR "blunder !"; s0 computed',
    fixed=points("Q 1000 1000"),
    start=points("R 1003.06 2640.01\nS 2323.07 2638.47\nT 2661.75 1096.07"),
    distances=distances(
        """
        Q R 1640.016 .026
        R S 1320.001 .024
        S T 1579.123 .025
        T Q 1664.524 .026
        Q S 2105.962 .029
        R T 2266.035 .030
        """
    ),
    angles=(
        *angles(
            """
            Q R S 38 48 50.7 4.0
            Q S T 47 46 12.4 4.0
            Q T R 273 24 56.5 4.4
            R Q S 269 57 33.4 4.7
            S R T 257 32 56.8 4.7
            T S Q 279 04 31.2 4.5
            R S T 42 52 51.0 4.3
            R S Q 90 02 26.7 4.5
            S Q R 51 08 45.0 4.3
            S T Q 51 18 16.2 4.0
            T Q R 46 15 02.0 4.0
            T R S 34 40 05.7 4.0
            """
        ),
        Angle("Q", None, "R", dms("0 06 24.5"), 0.001 * ARCSECOND),
    ),
    freedom=13,
)

QUADRILATERAL = replace(
    QUADRILATERAL_WITH_BLUNDER.without("T", "Q", "R"),
    source="Ghilani (2010) example 16.2 without the blunder; s0 computed",
    freedom=12,
    published=Published(
        points=adjusted(
            """
            R 1003.0572 .01 2640.0051 5.97
            S 2323.0626 5.49 2638.4742 6.60
            T 2661.7386 5.90 1096.0867 7.27
            """
        ),
        s0=0.352616,
    ),
)

DOUBLE_DISTANCES = Network(
    source="OSGeoLabBp tutorials, a 67 m by 25 m quadrilateral, distances only; s0 = 1/√5, r = 1/2",
    fixed={},
    start=points("1 -87.492 24.944\n2 -20.941 24.578\n3 0.002 0.002\n4 -87.927 -0.006"),
    distances=distances(
        """
        1 2 66.552
        1 4 24.954
        2 1 66.552
        2 3 32.288
        2 4 71.355
        3 2 32.289
        3 4 87.929
        4 1 24.955
        4 2 71.355
        4 3 87.929
        """,
        sd=0.001,
    ),
    freedom=5,
)

MIKHAIL = Levelling(
    source="Mikhail & Ackermann (1976) examples 7.4, 7.11; cofactor 0.1 of the length in km",
    fixed={"A": 800.0},
    unknown=("B", "C", "D", "E"),
    lines=tuple(
        (start, end, rise, (0.1 * km) ** 0.5)
        for start, end, rise, km in [
            ("A", "B", 25.42, 18.1),
            ("B", "C", 10.34, 9.4),
            ("C", "A", -35.20, 14.2),
            ("B", "D", -15.54, 17.6),
            ("D", "E", 21.32, 13.5),
            ("E", "C", 4.82, 9.9),
            ("E", "A", -31.02, 13.8),
            ("C", "D", -26.11, 14.0),
        ]
    ),
)

GHILANI_LEVELS = Levelling(
    source="Ghilani (2010) example 12.6",
    fixed={"A": 437.596},
    unknown=("B", "C", "D"),
    lines=(
        ("A", "B", 10.509, 0.006),
        ("B", "C", 5.360, 0.004),
        ("C", "D", -8.523, 0.005),
        ("D", "A", -7.348, 0.003),
        ("B", "D", -3.167, 0.004),
        ("A", "C", 15.881, 0.012),
    ),
)

KRUMM_LEVELS = Levelling(
    source="Krumm (2020), height example; two lines that nothing controls",
    fixed={"5": 110.956},
    unknown=("1", "2", "3", "4"),
    lines=tuple(
        (start, end, rise, 0.005 * km**0.5)
        for start, end, rise, km in [
            ("1", "2", 14.301, 0.9),
            ("1", "3", 9.995, 0.8),
            ("1", "4", 7.006, 1.0),
            ("1", "5", 17.500, 1.5),
            ("3", "2", 4.299, 0.5),
        ]
    ),
)

PUBLISHED: Sequence[Network] = (
    THREE_TAPES,
    FOUR_POINTS_FREE,
    SQUARE,
    TRILATERATION,
    BRACED,
    TEN_POINTS,
    HOEPKE,
    QUADRILATERAL,
)
