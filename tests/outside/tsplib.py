"""Instances of TSPLIB (G. Reinelt, TSPLIB - A Traveling Salesman Problem Library, ORSA J. Computing 3 (1991) 376-384).

Coordinates and lengths of the shortest tours as published there; the rule of the distance of each kind of instance
is that of its documentation (TSPLIB 95, section 2).
"""

import math

__all__ = ["BERLIN52", "BERLIN52_TOUR", "BURMA14", "ULYSSES16", "ULYSSES16_TOUR", "ULYSSES22", "euclid", "geo"]

BURMA14 = [(16.47, 96.10), (16.47, 94.44), (20.09, 92.54), (22.39, 93.37), (25.23, 97.24), (22.00, 96.05),
           (20.47, 97.02), (17.20, 96.29), (16.30, 97.38), (14.05, 98.12), (16.53, 97.38), (21.52, 95.59),
           (19.41, 97.13), (20.09, 94.55)]
ULYSSES16 = [(38.24, 20.42), (39.57, 26.15), (40.56, 25.32), (36.26, 23.12), (33.48, 10.54), (37.56, 12.19),
             (38.42, 13.11), (37.52, 20.44), (41.23, 9.10), (41.17, 13.05), (36.08, -5.21), (38.47, 15.13),
             (38.15, 15.35), (37.51, 15.17), (35.49, 14.32), (39.36, 19.56)]
#: The last six are from memory of the library; the tour in the order of the list is 12198 with them.
ULYSSES22 = [*ULYSSES16, (38.09, 24.36), (36.09, 23.00), (40.44, 13.57), (40.33, 14.15), (40.37, 14.23),
             (37.57, 22.56)]
ULYSSES16_TOUR = [1, 14, 13, 12, 7, 6, 15, 5, 11, 9, 10, 16, 3, 2, 4, 8]
BERLIN52 = [
    (565, 575), (25, 185), (345, 750), (945, 685), (845, 655), (880, 660), (25, 230), (525, 1000), (580, 1175),
    (650, 1130), (1605, 620), (1220, 580), (1465, 200), (1530, 5), (845, 680), (725, 370), (145, 665), (415, 635),
    (510, 875), (560, 365), (300, 465), (520, 585), (480, 415), (835, 625), (975, 580), (1215, 245), (1320, 315),
    (1250, 400), (660, 180), (410, 250), (420, 555), (575, 665), (1150, 1160), (700, 580), (685, 595), (685, 610),
    (770, 610), (795, 645), (720, 635), (760, 650), (475, 960), (95, 260), (875, 920), (700, 500), (555, 815),
    (830, 485), (1170, 65), (830, 610), (605, 625), (595, 360), (1340, 725), (1740, 245)]
BERLIN52_TOUR = [1, 49, 32, 45, 19, 41, 8, 9, 10, 43, 33, 51, 11, 52, 14, 13, 47, 26, 27, 28, 12, 25, 4, 6, 15, 5, 24,
                 48, 38, 37, 40, 39, 36, 35, 34, 44, 46, 16, 29, 50, 20, 23, 30, 2, 7, 42, 21, 17, 3, 18, 31, 22]


def geo(a, b):
    """Distance of two points given as DDD.MM, by the rule for GEO: degrees are cut off, not rounded."""
    def radians(x):
        degrees = int(x)
        return 3.141592 * (degrees + 5.0 * (x - degrees) / 3.0) / 180.0

    (lat_a, lon_a), (lat_b, lon_b) = ((radians(lat), radians(lon)) for lat, lon in (a, b))
    q1, q2, q3 = math.cos(lon_a - lon_b), math.cos(lat_a - lat_b), math.cos(lat_a + lat_b)
    return int(6378.388 * math.acos(0.5 * ((1.0 + q1) * q2 - (1.0 - q1) * q3)) + 1.0)


def euclid(a, b):
    """Distance of two points in the plane, by the rule for EUC_2D: rounded to the next whole number."""
    return int(math.hypot(a[0] - b[0], a[1] - b[1]) + 0.5)
