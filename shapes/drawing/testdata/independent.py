"""Write drawings of every entity with an independent library.

Usage: independent.py FOLDER. For every version of the format, as text and in
binary, the folder gets a drawing and, for each of its plies, the area by
arithmetic or by the library's own curves and the box by the library. Every ply carries its name
as a text. Units are millimetres.
"""
import json
import math
import sys

import ezdxf
from ezdxf import bbox, disassemble
from ezdxf.math import BoundingBox, BSpline, Vec2

folder = sys.argv[1]
known = {}


def polygon_area(points):
    pts = [Vec2(p) for p in points]
    return abs(sum(a.det(b) for a, b in zip(pts, pts[1:] + pts[:1]))) / 2


def curve_area(spline):
    """Area between a spline and its chord, extrapolated from polygons."""
    key = (spline.order, spline.control_points[0].round(3), tuple(spline.weights()))
    if key not in known:
        a = polygon_area(spline.approximate(300 * (spline.count - 1)))
        b = polygon_area(spline.approximate(600 * (spline.count - 1)))
        known[key] = b + (b - a) / 3
    return known[key]


def drawing(version):
    doc = ezdxf.new(version)
    doc.units = ezdxf.units.MM
    msp = doc.modelspace()
    old = version == "R12"
    areas = {}
    begun = []

    def ply(name, area, text=True):
        """Move on to the next place and write the name there."""
        areas[name] = area
        begun.append(len(msp))
        x, y = 400 * (len(areas) % 6), 400 * (len(areas) // 6)
        if text:
            msp.add_text(name, height=4).set_placement((x + 2, y + 4))
        return x, y

    def outline(points, closed=True):
        if old:
            return msp.add_polyline2d(points, format="xyb", close=closed)
        return msp.add_lwpolyline(points, format="xyb", close=closed)

    x, y = ply("LINE", 100 * 60 / 2 + 0)
    for a, b in [((0, 0), (100, 0)), ((0, 60), (0, 0)), ((100, 0), (0, 60))]:
        msp.add_line((x + a[0], y + a[1]), (x + b[0], y + b[1]))

    x, y = ply("CIRCLE", math.pi * 80**2)
    msp.add_circle((x, y), 80)

    x, y = ply("ARC", math.pi * 60**2 / 2 + 120 * 10)
    msp.add_arc((x + 60, y + 10), 60, 0, 180)
    for a, b in [((0, 10), (0, 0)), ((0, 0), (120, 0)), ((120, 0), (120, 10))]:
        msp.add_line((x + a[0], y + a[1]), (x + b[0], y + b[1]))

    x, y = ply("POLYLINE", 120 * 50 + math.pi * 25**2 / 2)
    msp.add_polyline2d([(x, y, 0), (x + 120, y, 1), (x + 120, y + 50, 0), (x, y + 50, 0)], format="xyb", close=True)

    x, y = ply("POLYLINE3D", 120 * 50)
    msp.add_polyline3d([(x, y, 5), (x + 120, y, 5), (x + 120, y + 50, 5), (x, y + 50, 5)], close=True)

    x, y = ply("BELOW", 120 * 50 - math.pi * 25**2 / 2)
    msp.add_polyline2d([(-x, y, 0), (-x - 120, y, 1), (-x - 120, y + 50, 0), (-x, y + 50, 0)], format="xyb", close=True,
                       dxfattribs={"extrusion": (0, 0, -1)})

    x, y = ply("CUT", 200 * 100 - math.pi * 30**2)
    outline([(x, y, 0), (x + 200, y, 0), (x + 200, y + 100, 0), (x, y + 100, 0)])
    msp.add_circle((x + 100, y + 50), 30)

    block = doc.blocks.new("LIP", base_point=(5, 5))
    block.add_circle((25, 25), 20)
    block.add_line((0, 0), (50, 0))
    block.add_line((50, 0), (50, 50))
    block.add_line((50, 50), (0, 50))
    block.add_line((0, 50), (0, 0))
    outer = doc.blocks.new("LIPS")
    outer.add_blockref("LIP", (10, 20), dxfattribs={"xscale": 1.5, "yscale": 1.5, "rotation": 20})

    x, y = ply("INSERT", (2500 - math.pi * 400) * 6)
    msp.add_blockref("LIP", (x, y), dxfattribs={"xscale": 2, "yscale": 3, "rotation": -10})
    x, y = ply("MIRROR", (2500 - math.pi * 400) * 4)
    msp.add_blockref("LIP", (x, y), dxfattribs={"xscale": -2, "yscale": 2, "rotation": 180 + 45})
    x, y = ply("NESTED", (2500 - math.pi * 400) * 1.5**2 * 4)
    msp.add_blockref("LIPS", (x - 40, y - 40), dxfattribs={"xscale": 2, "yscale": 2})

    tagged = doc.blocks.new("TAGGED")
    tagged.add_circle((0, 0), 40)
    tagged.add_attdef("PLY", (0, 60), dxfattribs={"height": 3})
    x, y = ply("ATTRIB", math.pi * 40**2, text=False)
    ref = msp.add_blockref("TAGGED", (x + 100, y + 100))
    ref.add_attrib("PLY", "ATTRIB", (x + 100, y + 160), dxfattribs={"height": 3})

    if not old:
        x, y = ply("LWPOLYLINE", 120 * 50 - math.pi * 25**2 / 2)
        msp.add_lwpolyline([(x, y, 0), (x + 120, y, -1), (x + 120, y + 50, 0), (x, y + 50, 0)], format="xyb", close=True)

        x, y = ply("ELLIPSE", math.pi * 100 * 45)
        msp.add_ellipse((x, y), (80, 60), 0.45)

        x, y = ply("HALF ELLIPSE", math.pi * 100 * 45 / 2)
        msp.add_ellipse((x + 80, y - 10), (100, 0), 0.45, 0, math.pi)
        msp.add_line((x - 20, y - 10), (x + 180, y - 10))

        x, y = ply("ELLIPSE BELOW", math.pi * 100 * 45 / 2)
        msp.add_ellipse((x + 80, y + 40), (100, 0), 0.45, 0, math.pi, dxfattribs={"extrusion": (0, 0, -1)})
        msp.add_line((x - 20, y + 40), (x + 180, y + 40))

        pts = [(x0, y0, 0) for x0, y0 in [(0, 0), (40, -60), (140, -50), (200, 40), (120, 120), (30, 90)]]
        x, y = ply("SPLINE", curve_area(BSpline(pts)))
        s = msp.add_spline()
        s.set_open_uniform([(x + p[0] - 10, y + p[1] - 10, 0) for p in pts])
        msp.add_line((x + pts[0][0] - 10, y + pts[0][1] - 10), (x + pts[-1][0] - 10, y + pts[-1][1] - 10))

        w = [1, 3, 0.5, 2, 1, 1]
        x, y = ply("RATIONAL SPLINE", curve_area(BSpline(pts, order=4, weights=w)))
        s = msp.add_spline()
        s.set_open_rational([(x + p[0] - 10, y + p[1] - 10, 0) for p in pts], w)
        msp.add_line((x + pts[0][0] - 10, y + pts[0][1] - 10), (x + pts[-1][0] - 10, y + pts[-1][1] - 10))

        x, y = ply("CLOSED SPLINE", 0)
        s = msp.add_spline()
        s.set_closed([(x + p[0] - 50, y + p[1] - 30, 0) for p in pts])
        areas["CLOSED SPLINE"] = curve_area(s.construction_tool())

        x, y = ply("QUINTIC SPLINE", curve_area(BSpline(pts, order=6)))
        s = msp.add_spline(degree=5)
        s.set_open_uniform([(x + p[0] - 10, y + p[1] - 10, 0) for p in pts], degree=5)
        msp.add_line((x + pts[0][0] - 10, y + pts[0][1] - 10), (x + pts[-1][0] - 10, y + pts[-1][1] - 10))

        # Fit points only: the library's cubic through three points, with the
        # end tangents written into the file.
        fit = [(0, 0, 0), (60, 90, 0), (140, 0, 0)]
        t0, t1 = (1, 2, 0), (1, -2, 0)
        x, y = ply("FIT SPLINE", 0)
        s = msp.add_spline(fit_points=[(x + p[0] - 30, y + p[1] - 5, 0) for p in fit])
        s.dxf.start_tangent, s.dxf.end_tangent = t0, t1
        msp.add_line((x - 30, y - 5), (x + 110, y - 5))
        areas["FIT SPLINE"] = -1  # the curve is not stated by the file

        x, y = ply("MTEXT Tür", 80 * 80, text=False)
        outline([(x, y, 0), (x + 80, y, 0), (x + 80, y + 80, 0), (x, y + 80, 0)])
        msp.add_mtext("{\\fsans;MTEXT Tür}\\PWR 600", dxfattribs={"char_height": 5, "insert": (x + 5, y + 60)})
        msp.add_point((x + 40, y + 20))

    plies = {}
    entities = list(msp)
    for (name, area), i, j in zip(areas.items(), begun, begun[1:] + [len(entities)]):
        drawn = [e for e in entities[i:j] if e.dxftype() not in ("TEXT", "MTEXT", "POINT")]
        for e in drawn:
            if e.dxftype() == "INSERT":
                drawn = [v for v in disassemble.recursive_decompose(drawn) if v.dxftype() != "ATTRIB"]
        box = bbox.extents(drawn, fast=False)
        if name == "CLOSED SPLINE":
            # The library's boxes take the knots of its curves for clamped;
            # its points do not.
            box = BoundingBox(drawn[0].construction_tool().approximate(500))
        plies[name] = {"area": area, "box": [box.extmin.x, box.extmin.y, box.extmax.x, box.extmax.y]}
    return doc, plies


for version in ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]:
    doc, plies = drawing(version)
    for form, ext in [("asc", "text"), ("bin", "binary")]:
        doc.saveas(f"{folder}/{version}-{ext}.dxf", fmt=form)
        with open(f"{folder}/{version}-{ext}.json", "w") as f:
            json.dump(plies, f)
