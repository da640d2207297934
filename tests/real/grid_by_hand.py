"""Grid references, bearings and lengths worked out apart from the program, with nothing but the standard library.

Sources: T. Vincenty, Direct and inverse solutions of geodesics on the ellipsoid, Survey Review 23 (1975); Ordnance
Survey, A guide to coordinate systems in Great Britain (the seven-parameter shift and the series of Redfearn for the
transverse Mercator projection, Annexes B and C); DMA TM 8358.1 for the letters of MGRS. Formulas and constants from memory,
tried against the Ordnance Survey's worked example (Caister water tower) in `try_worked_example`.
"""
import math

WGS84 = (6378137.0, 1 / 298.257223563)
AIRY = (6377563.396, 1 - 6356256.909 / 6377563.396)


def geodesic_m(a, b):
    """Vincenty's inverse; places are (lon, lat)."""
    major, f = WGS84
    minor = major * (1 - f)
    u1, u2 = (math.atan((1 - f) * math.tan(math.radians(p[1]))) for p in (a, b))
    east = math.radians(b[0] - a[0])
    if a == b:
        return 0.0
    lam = east
    for _ in range(100):
        s = math.hypot(math.cos(u2) * math.sin(lam),
                       math.cos(u1) * math.sin(u2) - math.sin(u1) * math.cos(u2) * math.cos(lam))
        if s == 0:
            return 0.0
        c = math.sin(u1) * math.sin(u2) + math.cos(u1) * math.cos(u2) * math.cos(lam)
        sigma = math.atan2(s, c)
        alpha = math.cos(u1) * math.cos(u2) * math.sin(lam) / s
        cos2 = 1 - alpha * alpha
        mid = c - 2 * math.sin(u1) * math.sin(u2) / cos2 if cos2 else 0
        k = f / 16 * cos2 * (4 + f * (4 - 3 * cos2))
        before, lam = lam, east + (1 - k) * f * alpha * (sigma + k * s * (mid + k * c * (2 * mid * mid - 1)))
        if abs(lam - before) < 1e-13:
            break
    uu = cos2 * (major ** 2 - minor ** 2) / minor ** 2
    aa = 1 + uu / 16384 * (4096 + uu * (-768 + uu * (320 - 175 * uu)))
    bb = uu / 1024 * (256 + uu * (-128 + uu * (74 - 47 * uu)))
    d = bb * s * (mid + bb / 4 * (c * (2 * mid * mid - 1) - bb / 6 * mid * (4 * s * s - 3) * (4 * mid * mid - 3)))
    return minor * aa * (sigma - d)


def transverse_mercator(lon, lat, ellipsoid, lon0, lat0, scale, east0, north0):
    """Easting and northing in metres."""
    a, f = ellipsoid
    b = a * (1 - f)
    e2 = 1 - b * b / (a * a)
    n = (a - b) / (a + b)
    phi, phi0, p = math.radians(lat), math.radians(lat0), math.radians(lon - lon0)
    sin, cos, tan = math.sin(phi), math.cos(phi), math.tan(phi)
    nu = a * scale / math.sqrt(1 - e2 * sin * sin)
    rho = a * scale * (1 - e2) * (1 - e2 * sin * sin) ** -1.5
    eta2 = nu / rho - 1
    d, t = phi - phi0, phi + phi0
    m = b * scale * ((1 + n + 1.25 * n ** 2 + 1.25 * n ** 3) * d - (3 * n + 3 * n ** 2 + 2.625 * n ** 3) * math.sin(d) * math.cos(t)
                     + (1.875 * n ** 2 + 1.875 * n ** 3) * math.sin(2 * d) * math.cos(2 * t)
                     - 35 / 24 * n ** 3 * math.sin(3 * d) * math.cos(3 * t))
    north = (m + north0 + nu / 2 * sin * cos * p ** 2 + nu / 24 * sin * cos ** 3 * (5 - tan ** 2 + 9 * eta2) * p ** 4
             + nu / 720 * sin * cos ** 5 * (61 - 58 * tan ** 2 + tan ** 4) * p ** 6)
    east = (east0 + nu * cos * p + nu / 6 * cos ** 3 * (nu / rho - tan ** 2) * p ** 3
            + nu / 120 * cos ** 5 * (5 - 18 * tan ** 2 + tan ** 4 + 14 * eta2 - 58 * tan ** 2 * eta2) * p ** 5)
    return east, north


def osgb36_of_wgs84(lon, lat):
    def cartesian(lon, lat, ellipsoid):
        a, f = ellipsoid
        e2 = f * (2 - f)
        nu = a / math.sqrt(1 - e2 * math.sin(lat) ** 2)
        return nu * math.cos(lat) * math.cos(lon), nu * math.cos(lat) * math.sin(lon), nu * (1 - e2) * math.sin(lat)
    x, y, z = cartesian(math.radians(lon), math.radians(lat), WGS84)
    s = 1 + 20.4894e-6
    rx, ry, rz = (math.radians(sec / 3600) for sec in (-0.1502, -0.2470, -0.8421))
    x, y, z = (-446.448 + s * x - rz * y + ry * z, 125.157 + rz * x + s * y - rx * z, -542.060 - ry * x + rx * y + s * z)
    a, f = AIRY
    e2 = f * (2 - f)
    p = math.hypot(x, y)
    lat = math.atan2(z, p * (1 - e2))
    for _ in range(10):
        nu = a / math.sqrt(1 - e2 * math.sin(lat) ** 2)
        lat = math.atan2(z + e2 * nu * math.sin(lat), p)
    return math.degrees(math.atan2(y, x)), math.degrees(lat)


LETTERS = "ABCDEFGHJKLMNOPQRSTUVWXYZ"


class British:
    name = "british"

    def metres(self, lon, lat):
        return transverse_mercator(*osgb36_of_wgs84(lon, lat), AIRY, -2, 49, 0.9996012717, 400000, -100000)

    def letters(self, east, north):
        e, n = int(east // 100000) + 10, int(north // 100000) + 5
        return LETTERS[(4 - n // 5) * 5 + e // 5] + LETTERS[(4 - n % 5) * 5 + e % 5]


class Utm32:
    """Zone 32 north of 40 degrees, as far as Liechtenstein needs it."""
    name = "utm"

    def metres(self, lon, lat):
        return transverse_mercator(lon, lat, WGS84, 9, 0, 0.9996, 500000, 0)

    def letters(self, east, north):
        column = "JKLMNPQR"[int(east // 100000) - 1]
        row = "FGHJKLMNPQRSTUVABCDE"[int(north // 100000) % 20]
        return "32T " + column + row


def try_worked_example():
    """Ordnance Survey's guide, annex C.1: 52 39 27.2531 N, 1 43 4.5177 E on OSGB36 is 651409.903, 313177.270."""
    east, north = transverse_mercator(1 + 43 / 60 + 4.5177 / 3600, 52 + 39 / 60 + 27.2531 / 3600, AIRY, -2, 49,
                                      0.9996012717, 400000, -100000)
    assert abs(east - 651409.903) < 0.01 and abs(north - 313177.270) < 0.01, (east, north)
