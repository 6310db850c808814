"""Render the pictures of the demonstration job: invented machine parts on a bench.

In: nothing but this file; every shape, surface and fault is drawn from numbers
below, with a fixed seed for each picture. Out: one JPEG for each picture in
OUT_DIR. It never photographs, copies or measures a real machine: the parts are
invented and the pictures are rendered, and whoever shows them says so.

Needs `bpy` (Blender as a Python module), numpy and Pillow. One Blender unit
stands for one centimetre.

    render_pictures.py OUT_DIR [--only NAME] [--size 1024x768] [--samples N]
"""

from __future__ import annotations

import argparse
import math
import random
import tempfile
import zlib
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import bpy  # isort: skip  (bmesh and mathutils can only be imported after it)
import itertools

import bmesh
import numpy as np
from mathutils import Matrix, Vector, noise
from PIL import Image

Part = Any  # a bpy.types.Object
Material = Any  # a bpy.types.Material
Socket = Any  # a bpy.types.NodeSocket
Point = tuple[float, float]
Colour = tuple[float, float, float]

JPEG_QUALITY = 82
LARGEST_JPEG_BYTES = 220_000

BARE_STEEL: Colour = (0.56, 0.56, 0.57)
DARK_STEEL: Colour = (0.27, 0.265, 0.26)
BRIGHT_STEEL: Colour = (0.80, 0.80, 0.81)
BRONZE: Colour = (0.58, 0.31, 0.11)
BRASS: Colour = (0.78, 0.56, 0.24)
COPPER: Colour = (0.75, 0.36, 0.20)
OIL: Colour = (0.035, 0.026, 0.018)
RUST: Colour = (0.20, 0.075, 0.025)


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """Say where the camera stands: angles in degrees, distance in cm."""

    target: tuple[float, float, float] = (0.0, 0.0, 0.0)
    bearing_deg: float = -90.0
    height_deg: float = 35.0
    distance_cm: float = 40.0
    lens_mm: float = 60.0
    f_number: float = 11.0
    exposure: float = 0.7


# --- Surfaces -----------------------------------------------------------------


class Surface:
    """Wire up one material's shader nodes with short calls."""

    def __init__(self, name: str) -> None:
        self.material: Material = bpy.data.materials.new(name)
        self.tree = self.material.node_tree
        self.tree.nodes.clear()
        self.shader = self.add("BsdfPrincipled")
        output = self.add("OutputMaterial")
        self.tree.links.new(self.shader.outputs[0], output.inputs["Surface"])

    def add(self, kind: str, inputs: dict[str | int, Any] | None = None, **settings: Any) -> Any:
        node = self.tree.nodes.new("ShaderNode" + kind)
        for key, setting in settings.items():
            setattr(node, key, setting)
        for key, feed in (inputs or {}).items():
            self.feed(node.inputs[key], feed)
        return node

    def feed(self, socket: Socket, feed: Any) -> None:
        if isinstance(feed, bpy.types.NodeSocket):
            self.tree.links.new(feed, socket)
        elif isinstance(feed, tuple) and socket.type == "RGBA":
            socket.default_value = (*feed, 1.0)
        else:
            socket.default_value = feed

    def coat(self, **inputs: Any) -> Material:
        """Feed the surface shader; underscores stand for spaces. Return the material."""
        for key, feed in inputs.items():
            self.feed(self.shader.inputs[key.replace("_", " ").title().replace("Ior", "IOR")], feed)
        return self.material

    def position(self, stretch: tuple[float, float, float] = (1, 1, 1), shift: float = 0.0) -> Socket:
        place = self.add("TexCoord").outputs["Object"]
        moved = self.add("Mapping", {0: place, "Scale": stretch, "Location": (shift, shift, shift)})
        return moved.outputs[0]

    def split(self, vector: Socket) -> tuple[Socket, Socket, Socket]:
        parts = self.add("SeparateXYZ", {0: vector}).outputs
        return parts[0], parts[1], parts[2]

    def sum(self, kind: str, left: Any, right: Any = 0.0) -> Socket:
        return self.add("Math", {0: left, 1: right}, operation=kind).outputs[0]

    def cloud(self, place: Socket, scale: float, detail: float = 4.0, harsh: float = 0.55) -> Socket:
        return self.add(
            "TexNoise", {"Vector": place, "Scale": scale, "Detail": min(detail, 5.0), "Roughness": harsh}
        ).outputs[0]

    def step(self, amount: Socket, low: float, high: float, top: float = 1.0) -> Socket:
        return self.add(
            "MapRange",
            {"Value": amount, "From Min": low, "From Max": high, "To Max": top},
            interpolation_type="SMOOTHSTEP",
        ).outputs[0]

    def blend(self, amount: Any, low: Any, high: Any) -> Socket:
        if isinstance(low, tuple) or (not isinstance(low, float) and low.type == "RGBA"):
            return self.add("Mix", {0: amount, 6: low, 7: high}, data_type="RGBA").outputs[2]
        return self.add("Mix", {0: amount, 2: low, 3: high}, data_type="FLOAT").outputs[0]

    def round_edges(self, radius_cm: float) -> tuple[Socket, Socket]:
        """Return a normal softened at edges, and how near an edge the point is (0 to 1)."""
        soft = self.add("Bevel", {"Radius": radius_cm}, samples=4).outputs[0]
        true = self.add("NewGeometry").outputs["Normal"]
        along = self.add("VectorMath", {0: soft, 1: true}, operation="DOT_PRODUCT").outputs["Value"]
        return soft, self.step(self.sum("SUBTRACT", 1.0, along), 0.03, 0.25)

    def emboss(self, height: Socket, strength: float, normal: Socket | None = None, depth_cm: float = 0.05) -> Socket:
        inputs: dict[str | int, Any] = {"Height": height, "Strength": strength, "Distance": depth_cm}
        if normal is not None:
            inputs["Normal"] = normal
        return self.add("Bump", inputs).outputs[0]


def mix_metal(
    name: str,
    colour: Colour,
    *,
    roughness: tuple[float, float] = (0.22, 0.42),
    oil: float = 0.35,
    rust: float = 0.0,
    turned: float = 0.0,
    ground: float = 0.0,
    scored: float = 0.0,
    wear: float = 0.4,
    grimy_inside_cm: tuple[float, float] | None = None,
    bump: float = 0.12,
) -> Material:
    """Make a used metal.

    `oil` and `rust` are the shares stained (0 to 1); `turned` cuts lathe marks
    round the part's z axis, `ground` draws marks along its x axis, and `scored`
    ploughs coarse grooves at heights along its z axis; `wear` brightens edges; `grimy_inside_cm` darkens below the first radius and leaves
    clean metal beyond the second, as grease lies in the roots of teeth.
    """
    s = Surface(name)
    place = s.position(shift=zlib.crc32(name.encode()) % 97)
    wide, fine = s.cloud(place, 0.45, 6.0, 0.6), s.cloud(place, 7.0, 6.0, 0.65)
    soft, edge = s.round_edges(0.05)
    edge = s.sum("MULTIPLY", edge, s.step(fine, 0.3, 0.6, wear))
    tint = s.blend(s.step(wide, 0.3, 0.7), colour, tuple(0.78 * c for c in colour))
    sheen = s.blend(s.step(s.cloud(place, 0.9, 4.0, 0.5), 0.2, 0.8), roughness[0], roughness[1])
    relief = fine
    if turned:
        x, y, z = s.split(s.position())
        radius = s.sum("SQRT", s.sum("ADD", s.sum("MULTIPLY", x, x), s.sum("MULTIPLY", y, y)))
        rings = s.add("CombineXYZ", {0: radius, 1: z}).outputs[0]
        relief = s.blend(turned, fine, s.cloud(rings, 22.0, 3.0, 0.7))
    if ground:
        relief = s.blend(ground, fine, s.cloud(s.position((0.5, 14, 14)), 1.5, 4.0, 0.7))
    if scored:
        relief = s.blend(scored, fine, s.cloud(s.position((0.12, 0.12, 5.0)), 1.6, 4.0, 0.7))
    tint = s.blend(s.step(relief, 0.2, 0.8), s.blend(0.6 * scored + 0.25, tint, OIL), tint)
    metallic: Any = 1.0
    if rust:
        spots = s.step(s.cloud(place, 1.1, 9.0, 0.72), 0.66 - 0.3 * rust, 0.76 - 0.3 * rust)
        tint = s.blend(spots, tint, s.blend(fine, RUST, tuple(0.3 * c for c in RUST)))
        sheen = s.blend(spots, sheen, 0.85)
        metallic = s.sum("SUBTRACT", 1.0, spots)
    stain = s.step(s.cloud(place, 0.32, 5.0, 0.62), 0.56 - 0.2 * oil, 0.86 - 0.2 * oil, 0.4 + 0.4 * oil)
    if grimy_inside_cm:
        x, y, _ = s.split(s.position())
        radius = s.sum("SQRT", s.sum("ADD", s.sum("MULTIPLY", x, x), s.sum("MULTIPLY", y, y)))
        radius = s.sum("ADD", radius, s.sum("MULTIPLY", s.sum("SUBTRACT", wide, 0.5), 0.6))
        low, high = grimy_inside_cm
        stain = s.sum("MAXIMUM", stain, s.sum("SUBTRACT", 0.8, s.step(radius, low, high, 0.8)))
    tint = s.blend(stain, tint, OIL)
    sheen = s.blend(s.sum("MULTIPLY", stain, 0.6), sheen, 0.22)
    tint = s.blend(edge, tint, BRIGHT_STEEL if colour[0] < colour[2] * 1.2 else colour)
    return s.coat(base_color=tint, metallic=metallic, roughness=sheen, normal=s.emboss(relief, bump, soft))


def mix_fracture(name: str = "fracture", colour: Colour = (0.74, 0.73, 0.71)) -> Material:
    """Make the bright, grainy face of freshly broken steel."""
    s = Surface(name)
    place = s.position()
    grain = s.add("TexVoronoi", {"Vector": place, "Scale": 13.0}).outputs["Distance"]
    relief = s.sum("ADD", grain, s.cloud(place, 5.0, 8.0, 0.75))
    tint = s.blend(s.step(relief, 0.5, 1.3), tuple(0.66 * c for c in colour), colour)
    return s.coat(base_color=tint, metallic=0.35, roughness=0.38, normal=s.emboss(relief, 0.7, depth_cm=0.08))


def mix_paint(name: str, colour: Colour, *, chips: float = 0.3, mud: float = 0.0) -> Material:
    """Make old paint, chipped to rusty steel at edges, oily, muddy towards the bench."""
    s = Surface(name)
    place = s.position(shift=zlib.crc32(name.encode()) % 89)
    wide, fine = s.cloud(place, 0.3, 6.0, 0.6), s.cloud(place, 4.0, 8.0, 0.7)
    soft, edge = s.round_edges(0.14)
    worn = s.step(
        s.sum("ADD", s.sum("MULTIPLY", edge, 0.22), s.cloud(place, 0.9, 10.0, 0.75)),
        0.78 - 0.25 * chips,
        0.80 - 0.25 * chips,
    )
    tint = s.blend(s.step(wide, 0.3, 0.7), colour, tuple(0.7 * c for c in colour))
    tint = s.blend(s.step(s.cloud(place, 0.5, 7.0, 0.7), 0.54, 0.75, 0.8), tint, OIL)
    sheen = s.blend(s.step(fine, 0.3, 0.7), 0.32, 0.55)
    under = s.blend(s.step(fine, 0.42, 0.55), DARK_STEEL, RUST)
    tint, sheen = s.blend(worn, tint, under), s.blend(worn, sheen, 0.5)
    if mud:
        height = s.split(s.add("NewGeometry").outputs["Position"])[2]
        low = s.sum("SUBTRACT", s.sum("MULTIPLY", wide, 14.0), height)
        dirt = s.step(s.sum("ADD", low, s.sum("MULTIPLY", fine, 6.0)), 3.5, 7.0, mud)
        tint, sheen = s.blend(dirt, tint, (0.105, 0.07, 0.042)), s.blend(dirt, sheen, 0.95)
    relief = s.sum("SUBTRACT", s.sum("MULTIPLY", fine, 0.25), worn)
    return s.coat(
        base_color=tint,
        metallic=s.sum("MULTIPLY", worn, 0.6),
        roughness=sheen,
        normal=s.emboss(relief, 0.35, soft, 0.03),
    )


def mix_lining(name: str = "lining") -> Material:
    """Make brown friction lining: pressed fibre with brass flecks."""
    s = Surface(name)
    place = s.position((1, 1, 1))
    fibre = s.cloud(s.position((1, 1, 3)), 5.0, 9.0, 0.8)
    tint = s.blend(s.step(fibre, 0.35, 0.65), (0.085, 0.042, 0.022), (0.23, 0.125, 0.07))
    flecks = s.step(s.cloud(place, 11.0, 2.0), 0.70, 0.74)
    tint = s.blend(flecks, tint, BRASS)
    tint = s.blend(s.step(s.cloud(place, 0.5, 6.0), 0.52, 0.7, 0.6), tint, (0.03, 0.02, 0.015))
    return s.coat(base_color=tint, metallic=s.sum("MULTIPLY", flecks, 0.8), roughness=0.72, normal=s.emboss(fibre, 0.5))


def mix_pitted_race(race_radius_cm: float) -> Material:
    """Make bearing steel whose inner face has a patch of rust-brown pits, facing -y."""
    s = Surface("pitted race")
    place = s.position()
    x, y, z = s.split(place)
    radius = s.sum("SQRT", s.sum("ADD", s.sum("MULTIPLY", x, x), s.sum("MULTIPLY", y, y)))
    inside = s.step(s.sum("SUBTRACT", race_radius_cm + 0.02, radius), 0.0, 0.03)
    band = s.sum("SUBTRACT", 1.0, s.step(s.sum("ABSOLUTE", z), 0.34, 0.52))
    bare = s.cloud(place, 0.8, 6.0, 0.6)
    patch = s.step(s.sum("ADD", s.sum("MULTIPLY", y, 0.05), bare), 0.52, 0.72)
    where = s.sum("MULTIPLY", s.sum("MULTIPLY", inside, band), patch)
    cells = s.add("TexVoronoi", {"Vector": place, "Scale": 4.2}).outputs["Distance"]
    ragged = s.sum("MULTIPLY", s.sum("SUBTRACT", s.cloud(place, 9.0, 5.0, 0.7), 0.5), 0.5)
    flaked = s.sum("MULTIPLY", s.sum("SUBTRACT", 0.62, s.cloud(place, 2.1, 5.0, 0.62)), 3.4)
    depth = s.sum("ADD", s.sum("MINIMUM", s.sum("ADD", cells, 0.12), s.sum("ADD", flaked, 0.1)), ragged)
    hole = s.sum("MULTIPLY", where, s.sum("SUBTRACT", 1.0, s.step(depth, 0.36, 0.44)))
    halo = s.sum("MULTIPLY", where, s.sum("SUBTRACT", 1.0, s.step(depth, 0.42, 0.95, 0.9)))
    fine = s.cloud(place, 12.0, 5.0, 0.7)
    sheen = s.blend(s.step(bare, 0.35, 0.65), 0.12, 0.22)
    tint = s.blend(s.sum("MULTIPLY", halo, 0.8), BRIGHT_STEEL, (0.42, 0.19, 0.07))
    tint = s.blend(hole, tint, s.blend(s.step(fine, 0.4, 0.6), (0.06, 0.022, 0.008), (0.24, 0.085, 0.02)))
    rough = s.sum("MAXIMUM", hole, s.sum("MULTIPLY", halo, 0.5))
    soft, _ = s.round_edges(0.05)
    return s.coat(
        base_color=tint,
        metallic=s.sum("SUBTRACT", 1.0, rough),
        roughness=s.blend(rough, sheen, 0.9),
        normal=s.emboss(s.sum("SUBTRACT", 1.0, hole), 1.0, soft, 0.12),
    )


def mix_plain(name: str, colour: Colour, roughness: float, bump: float = 0.3, scale: float = 6.0) -> Material:
    """Make a dull surface such as rubber or cloth."""
    s = Surface(name)
    grain = s.cloud(s.position(), scale, 8.0, 0.7)
    tint = s.blend(s.step(grain, 0.3, 0.7), tuple(0.55 * c for c in colour), colour)
    return s.coat(base_color=tint, roughness=roughness, normal=s.emboss(grain, bump))


def mix_wood() -> Material:
    """Make an old bench top: planks along x, oil stains, dents."""
    s = Surface("bench wood")
    x, y, _ = s.split(s.position())
    rows = s.sum("DIVIDE", s.sum("ADD", y, 400.0), 11.0)
    plank = s.sum("FLOOR", rows)
    change = s.add("TexWhiteNoise", {"W": plank}, noise_dimensions="1D").outputs[0]
    along = s.sum("ADD", s.sum("MULTIPLY", x, 0.055), s.sum("MULTIPLY", change, 60.0))
    place = s.add("CombineXYZ", {0: along, 1: y, 2: s.sum("MULTIPLY", change, 90.0)}).outputs[0]
    figure = s.cloud(place, 0.55, 5.0, 0.6)
    rings = s.sum("FRACT", s.sum("MULTIPLY", figure, 9.0))
    pores = s.cloud(place, 4.5, 6.0, 0.75)
    tint = s.blend(s.step(rings, 0.0, 1.0), (0.30, 0.175, 0.090), (0.205, 0.112, 0.055))
    tint = s.blend(s.step(pores, 0.45, 0.7, 0.7), tint, (0.085, 0.045, 0.022))
    tint = s.blend(s.sum("MULTIPLY", change, 0.4), tint, (0.16, 0.095, 0.05))
    flat = s.position()
    dirt = s.step(s.cloud(flat, 0.055, 7.0, 0.65), 0.48, 0.66, 0.75)
    spots = s.step(s.cloud(flat, 0.22, 5.0, 0.6), 0.66, 0.70, 0.7)
    tint = s.blend(s.sum("MAXIMUM", dirt, spots), tint, (0.035, 0.024, 0.016))
    gap = s.step(s.sum("ABSOLUTE", s.sum("SUBTRACT", s.sum("FRACT", rows), 0.5)), 0.485, 0.493)
    tint = s.blend(gap, tint, (0.012, 0.008, 0.006))
    relief = s.sum("SUBTRACT", s.sum("ADD", pores, s.sum("MULTIPLY", rings, 0.25)), s.sum("MULTIPLY", gap, 4.0))
    sheen = s.blend(dirt, 0.62, 0.42)
    return s.coat(base_color=tint, roughness=sheen, normal=s.emboss(relief, 0.35, depth_cm=0.1))


def mix_steel_top() -> Material:
    """Make a scuffed steel bench top: dull, stained, with scratches both ways."""
    s = Surface("bench steel")
    flat = s.position()
    wide = s.cloud(flat, 0.06, 7.0, 0.65)
    lines = [
        s.step(s.cloud(s.position(stretch), 1.0, 4.0, 0.6), 0.66, 0.72)
        for stretch in ((0.06, 4.0, 1.0), (2.6, 0.05, 1.0), (0.9, 0.05, 1.0))
    ]
    scratch = s.sum("MAXIMUM", s.sum("MAXIMUM", lines[0], lines[1]), lines[2])
    tint = s.blend(s.step(wide, 0.3, 0.7), (0.20, 0.20, 0.205), (0.115, 0.113, 0.112))
    tint = s.blend(s.sum("MULTIPLY", scratch, 0.35), tint, (0.42, 0.42, 0.42))
    stain = s.step(s.cloud(flat, 0.13, 6.0, 0.65), 0.54, 0.68, 0.7)
    brown = s.step(s.cloud(flat, 0.28, 8.0, 0.7), 0.58, 0.72, 0.6)
    tint = s.blend(brown, s.blend(stain, tint, OIL), (0.13, 0.065, 0.032))
    sheen = s.blend(s.step(s.cloud(flat, 1.2, 6.0, 0.7), 0.35, 0.65), 0.40, 0.56)
    metallic = s.sum("SUBTRACT", 0.85, s.sum("MULTIPLY", brown, 0.8))
    return s.coat(
        base_color=tint, metallic=metallic, roughness=sheen, normal=s.emboss(s.cloud(flat, 2.0, 8.0, 0.7), 0.15)
    )


# --- Shapes -------------------------------------------------------------------


def add_mesh(
    name: str, corners: Sequence[Any], faces: Sequence[Any], material: Material, smooth_deg: float = 35.0
) -> Part:
    """Make a part from corners and faces; edges sharper than `smooth_deg` stay sharp."""
    mesh = bpy.data.meshes.new(name)
    mesh.from_pydata([tuple(map(float, c)) for c in corners], [], faces)
    return finish_mesh(name, mesh, material, smooth_deg)


def finish_mesh(name: str, mesh: Any, material: Material | None, smooth_deg: float = 35.0) -> Part:
    shape = bmesh.new()
    shape.from_mesh(mesh)
    bmesh.ops.remove_doubles(shape, verts=shape.verts, dist=1e-4)
    bmesh.ops.recalc_face_normals(shape, faces=shape.faces)
    shape.to_mesh(mesh)
    shape.free()
    if material is not None:
        mesh.materials.clear()
        mesh.materials.append(material)
    mesh.shade_smooth()
    mesh.set_sharp_from_angle(angle=math.radians(smooth_deg))
    keep_flats_flat(mesh)
    part = bpy.data.objects.new(name, mesh)
    bpy.context.scene.collection.objects.link(part)
    return part


def keep_flats_flat(mesh: Any) -> None:
    """Part the shading of level faces from the rounded edges beside them, or large flats look warped."""
    shape = bmesh.new()
    shape.from_mesh(mesh)
    for edge in shape.edges:
        if len({abs(face.normal.z) > 0.9999 for face in edge.link_faces}) == 2:
            edge.smooth = False
    shape.to_mesh(mesh)
    shape.free()


def bake_part(part: Part, smooth_deg: float = 35.0) -> Part:
    """Turn a curve, or a part with modifiers, into a plain mesh part."""
    ready = part.evaluated_get(bpy.context.evaluated_depsgraph_get())
    mesh = bpy.data.meshes.new_from_object(ready)
    place = part.matrix_world.copy()
    name = part.name
    bpy.data.objects.remove(part)
    baked = finish_mesh(name, mesh, None, smooth_deg)
    baked.matrix_world = place
    return baked


def draw_curve(name: str, lines: Iterable[Any], material: Material, **settings: Any) -> Part:
    curve = bpy.data.curves.new(name, "CURVE")
    closed = settings.pop("closed", False)
    for key, setting in settings.items():
        setattr(curve, key, setting)
    for line in lines:
        spline = curve.splines.new("POLY")
        spline.points.add(len(line) - 1)
        spline.use_cyclic_u = closed
        for knot, spot in zip(spline.points, line, strict=True):
            knot.co = (*map(float, spot), *(0.0,) * (3 - len(spot)), 1.0)
    curve.materials.append(material)
    part = bpy.data.objects.new(name, curve)
    bpy.context.scene.collection.objects.link(part)
    return part


def cut_plate(
    name: str, outlines: Sequence[Sequence[Point]], thick_cm: float, material: Material, bevel_cm: float = 0.05
) -> Part:
    """Cut a plate with rounded edges; the first outline is the rim, the rest are holes.

    It lies in the xy plane with its mid-thickness at z = 0.
    """
    plate = draw_curve(
        name,
        outlines,
        material,
        closed=True,
        dimensions="2D",
        fill_mode="BOTH",
        extrude=thick_cm / 2 - bevel_cm,
        bevel_depth=bevel_cm,
        bevel_resolution=2,
        offset=-bevel_cm,
    )
    return bake_part(plate)


def draw_wire(
    name: str, line: Any, radius_cm: float, material: Material, *, closed: bool = False, sides: int = 4
) -> Part:
    wire = draw_curve(
        name,
        [line],
        material,
        closed=closed,
        dimensions="3D",
        bevel_depth=radius_cm,
        bevel_resolution=sides,
        use_fill_caps=True,
    )
    return bake_part(wire, 50.0)


def turn_part(
    name: str,
    profile: Sequence[Point],
    material: Material,
    *,
    closed: bool = False,
    segments: int = 160,
    radius_at: Callable[[float, float], float] | None = None,
) -> Part:
    """Turn a profile of (radius, z) round the z axis; `radius_at(angle, r)` may bend it."""
    corners, faces = [], []
    rows = len(profile)
    for step in range(segments):
        angle = 2 * math.pi * step / segments
        for r, z in profile:
            bent = radius_at(angle, r) if radius_at else r
            corners.append((bent * math.cos(angle), bent * math.sin(angle), z))
    for step in range(segments):
        here, there = step * rows, (step + 1) % segments * rows
        for row in range(rows if closed else rows - 1):
            after = (row + 1) % rows
            faces.append((here + row, there + row, there + after, here + after))
    return add_mesh(name, corners, faces, material)


def round_corners(
    points: Sequence[Point], radius_cm: float | Sequence[float], *, closed: bool = True, steps: int = 5
) -> list[Point]:
    """Round each corner of an outline by up to the radius given, one for all or one each."""
    radii = [radius_cm] * len(points) if isinstance(radius_cm, int | float) else list(radius_cm)
    rounded: list[Point] = []
    for number, (corner, radius) in enumerate(zip(map(Vector, points), radii, strict=True)):
        if radius == 0 or (not closed and number in (0, len(points) - 1)):
            rounded.append(tuple(corner))
            continue
        back = Vector(points[number - 1]) - corner
        ahead = Vector(points[(number + 1) % len(points)]) - corner
        reach = min(radius, 0.45 * back.length, 0.45 * ahead.length)
        start, end = corner + back.normalized() * reach, corner + ahead.normalized() * reach
        for step in range(steps + 1):
            t = step / steps
            rounded.append(tuple((1 - t) ** 2 * start + 2 * t * (1 - t) * corner + t * t * end))
    return rounded


def draw_circle(radius_cm: float, x: float = 0.0, y: float = 0.0, count: int = 64) -> list[Point]:
    angles = [2 * math.pi * n / count for n in range(count)]
    return [(x + radius_cm * math.cos(a), y + radius_cm * math.sin(a)) for a in angles]


def draw_keyed_bore(radius_cm: float, key_width_cm: float, key_depth_cm: float, turn: float = 0.0) -> list[Point]:
    """Draw a round bore with a keyway at the angle `turn` (radians)."""
    half = math.asin(key_width_cm / 2 / radius_cm)
    arc = [half + (2 * math.pi - 2 * half) * n / 72 for n in range(73)]
    bore = [(radius_cm * math.cos(a), radius_cm * math.sin(a)) for a in arc]
    deep = radius_cm + key_depth_cm
    bore += [(deep, -key_width_cm / 2), (deep, key_width_cm / 2)]
    c, s = math.cos(turn), math.sin(turn)
    return [(c * x - s * y, s * x + c * y) for x, y in bore]


def wrap_circles(circles: Sequence[tuple[float, float, float]]) -> list[Point]:
    """Return the outline of a band pulled tight round circles of (x, y, radius)."""
    dots = sorted({p for x, y, r in circles for p in draw_circle(r, x, y, 96)})
    hull: list[Point] = []
    for sweep in (dots, dots[::-1]):
        chain: list[Point] = []
        for p in sweep:
            while len(chain) > 1 and (
                (chain[-1][0] - chain[-2][0]) * (p[1] - chain[-2][1])
                <= (chain[-1][1] - chain[-2][1]) * (p[0] - chain[-2][0])
            ):
                chain.pop()
            chain.append(p)
        hull += chain[:-1]
    return hull


def draw_gear(teeth: int, module_cm: float, turn: float = 0.0) -> list[Point]:
    """Draw a spur gear with 20 degree involute teeth; a tooth's middle lies at `turn`."""
    pitch_r, pressure = teeth * module_cm / 2, math.radians(20)
    base_r, tip_r, root_r = pitch_r * math.cos(pressure), pitch_r + module_cm, pitch_r - 1.25 * module_cm
    half = math.pi / 2 / teeth * 0.97 + math.tan(pressure) - pressure
    flank: list[tuple[float, float]] = []
    for step in range(9):
        r = max(base_r, root_r + 0.3 * module_cm) + (tip_r - max(base_r, root_r + 0.3 * module_cm)) * step / 8
        roll = math.acos(min(1.0, base_r / r))
        flank.append((r, half - (math.tan(roll) - roll)))
    gap = 2 * math.pi / teeth
    fillet = [
        (root_r, gap / 2),
        (root_r, (gap / 2 + flank[0][1]) / 2 + 0.1 * (gap / 2 - flank[0][1])),
        (root_r + 0.06 * module_cm, flank[0][1] + 0.12 * (gap / 2 - flank[0][1])),
    ]
    side = fillet + flank
    outline: list[Point] = []
    for tooth in range(teeth):
        middle = turn + tooth * gap
        for r, a in [(r, -a) for r, a in side[1:]] + side[:0:-1] + side[:1]:
            outline.append((r * math.cos(middle + a), r * math.sin(middle + a)))
    return outline


def place(
    parts: Part | Sequence[Part],
    at: tuple[float, float, float] = (0, 0, 0),
    turn_deg: tuple[float, float, float] = (0, 0, 0),
    frame: Matrix | None = None,
) -> Any:
    """Move parts together: turn about x, then y, then z, then shift, then into `frame`."""
    x, y, z = (math.radians(a) for a in turn_deg)
    move = Matrix.Translation(at) @ Matrix.Rotation(z, 4, "Z") @ Matrix.Rotation(y, 4, "Y") @ Matrix.Rotation(x, 4, "X")
    for part in parts if isinstance(parts, list) else [parts]:
        part.matrix_world = (frame or Matrix()) @ move @ part.matrix_world
    return parts


def make_lump(
    size: tuple[float, float, float], material: Material, *, seed: int, rough_cm: float = 0.1, cuts: int = 22
) -> Part:
    """Make a box with craggy faces, to bite pieces out of parts."""
    shape = bmesh.new()
    bmesh.ops.create_cube(shape, size=1.0)
    bmesh.ops.subdivide_edges(shape, edges=shape.edges, cuts=cuts, use_grid_fill=True)
    for corner in shape.verts:
        corner.co = Vector(c * s for c, s in zip(corner.co, size, strict=True))
        spot = corner.co * 1.3 + Vector((seed * 7.1, 0, 0))
        corner.co += rough_cm * (
            noise.noise_vector(spot) + 0.5 * noise.noise_vector(spot * 3.1) + 0.22 * noise.noise_vector(spot * 8.3)
        )
    mesh = bpy.data.meshes.new("lump")
    shape.to_mesh(mesh)
    shape.free()
    return finish_mesh("lump", mesh, material, 60.0)


def bite(part: Part, cutter: Part, kind: str = "DIFFERENCE", *, keep_cutter: bool = False) -> Part:
    """Cut one part by another; the new faces take the cutter's material."""
    bpy.context.view_layer.update()
    cut = part.modifiers.new("cut", "BOOLEAN")
    cut.operation, cut.solver, cut.object = kind, "MANIFOLD", cutter
    cut.material_mode = "TRANSFER"
    part = bake_part(part)
    if not keep_cutter:
        bpy.data.objects.remove(cutter)
    return part


def repaint(part: Part, material: Material, where: Callable[[Vector], bool]) -> Part:
    """Give another material to the faces whose middles `where` picks."""
    part.data.materials.append(material)
    for face in part.data.polygons:
        if where(face.center):
            face.material_index = len(part.data.materials) - 1
    return part


def make_bolt(across_flats_cm: float, material: Material, *, washer: bool = True) -> list[Part]:
    """Make a bolt head standing on z = 0, with a washer under it."""
    circle = draw_circle(across_flats_cm / math.sqrt(3), count=6)
    high = 0.62 * across_flats_cm
    head = place(cut_plate("bolt head", [circle], high, material, 0.1 * across_flats_cm), (0, 0, high / 2 + 0.12))
    if not washer:
        return [place(head, (0, 0, -0.12))]
    ring = [draw_circle(0.95 * across_flats_cm), draw_circle(0.4 * across_flats_cm)]
    return [head, place(cut_plate("washer", ring, 0.14, material, 0.03), (0, 0, 0.07))]


# --- The bench, the light, the camera -----------------------------------------


def lay_bench(top: str) -> None:
    material = mix_wood() if top == "wood" else mix_steel_top()
    size = 260.0
    add_mesh("bench", [(-size, -size, 0), (size, -size, 0), (size, 70, 0), (-size, 70, 0)], [(0, 1, 2, 3)], material)
    wall = mix_plain("workshop wall", (0.20, 0.21, 0.20), 0.9, 0.1, 0.05)
    add_mesh("wall", [(-size, 130, -90), (size, 130, -90), (size, 130, 160), (-size, 130, 160)], [(0, 1, 2, 3)], wall)
    board = mix_plain("shelf", (0.10, 0.065, 0.04), 0.8, 0.1, 0.3)
    place(make_lump((2 * size, 22, 3), board, seed=0, rough_cm=0.0, cuts=1), (0, 118, -2))
    rng = random.Random(4)
    for x in range(-130, 140, 19):
        shade = rng.choice([(0.16, 0.05, 0.03), (0.05, 0.07, 0.10), (0.14, 0.12, 0.09), (0.03, 0.03, 0.03)])
        wide, high = rng.uniform(4, 8), rng.uniform(8, 30)
        tin = turn_part("tin", [(0, high), (wide, high), (wide, 0)], mix_plain("tin", shade, 0.5), segments=32)
        place(tin, (x + rng.uniform(-5, 5), 116, 0))


def hang_lamp(
    name: str,
    at: tuple[float, float, float],
    aim: tuple[float, float, float],
    size: tuple[float, float],
    power: float,
    colour: Colour,
) -> None:
    lamp = bpy.data.lights.new(name, "AREA")
    lamp.shape, lamp.size, lamp.size_y, lamp.energy, lamp.color = "RECTANGLE", *size, power, colour
    part = bpy.data.objects.new(name, lamp)
    part.location = at
    part.rotation_euler = (Vector(aim) - Vector(at)).to_track_quat("-Z", "Y").to_euler()
    bpy.context.scene.collection.objects.link(part)


def light_workshop(turn_deg: float = 0.0) -> None:
    """Hang a window to the left, tubes overhead and a warm fill, and set a dim room round them."""
    turn = Matrix.Rotation(math.radians(turn_deg), 3, "Z")
    lamps = (
        ("window", (-95, 35, 75), (70, 80), 90000.0, (0.88, 0.94, 1.0)),
        ("tube a", (15, 70, 110), (120, 10), 42000.0, (1.0, 0.96, 0.88)),
        ("tube b", (0, -20, 125), (140, 12), 42000.0, (1.0, 0.96, 0.88)),
        ("fill", (90, -70, 50), (60, 60), 16000.0, (1.0, 0.86, 0.70)),
    )
    for name, at, size, power, colour in lamps:
        hang_lamp(name, tuple(turn @ Vector(at)), (0, 0, 0), size, power, colour)
    world = bpy.data.worlds.new("room")
    bpy.context.scene.world = world
    tree = world.node_tree
    tree.nodes.clear()
    geometry = tree.nodes.new("ShaderNodeTexCoord")
    blotch = tree.nodes.new("ShaderNodeTexNoise")
    blotch.inputs["Scale"].default_value = 2.2
    ramp = tree.nodes.new("ShaderNodeMapRange")
    ramp.inputs["From Min"].default_value, ramp.inputs["From Max"].default_value = 0.35, 0.7
    ramp.inputs["To Min"].default_value, ramp.inputs["To Max"].default_value = 0.06, 0.55
    sky = tree.nodes.new("ShaderNodeBackground")
    sky.inputs["Color"].default_value = (0.82, 0.88, 1.0, 1.0)
    output = tree.nodes.new("ShaderNodeOutputWorld")
    tree.links.new(geometry.outputs["Generated"], blotch.inputs["Vector"])
    tree.links.new(blotch.outputs[0], ramp.inputs["Value"])
    tree.links.new(ramp.outputs[0], sky.inputs["Strength"])
    tree.links.new(sky.outputs[0], output.inputs["Surface"])


def set_camera(view: View) -> None:
    camera = bpy.data.cameras.new("camera")
    camera.lens = view.lens_mm
    camera.dof.use_dof = True
    camera.dof.focus_distance = view.distance_cm
    camera.dof.aperture_fstop = view.f_number / 100  # Blender takes a unit as 1 m; here it is 1 cm
    camera.clip_end = 1000
    part = bpy.data.objects.new("camera", camera)
    a, e = math.radians(view.bearing_deg), math.radians(view.height_deg)
    ray = Vector((math.cos(e) * math.cos(a), math.cos(e) * math.sin(a), math.sin(e)))
    part.location = Vector(view.target) + view.distance_cm * ray
    part.rotation_euler = (-ray).to_track_quat("-Z", "Y").to_euler()
    bpy.context.scene.collection.objects.link(part)
    bpy.context.scene.camera = part


def scatter_bench(seed: int, clear_cm: float, spread_cm: float = 60.0) -> None:
    """Drop a few nuts, washers and swarf on the bench outside a cleared circle."""
    rng = random.Random(seed)
    steel = mix_metal("oddments", DARK_STEEL, oil=0.5, rust=0.3)
    for _ in range(9):
        angle, far = rng.uniform(0.1, 3.0), rng.uniform(clear_cm, spread_cm)
        at = (far * math.cos(angle), far * math.sin(angle), 0.0)
        flats = rng.choice([1.3, 1.7])
        if rng.random() < 0.6:
            nut = [draw_circle(flats / math.sqrt(3), count=6), draw_circle(0.3 * flats)]
            place(cut_plate("nut", nut, 0.5 * flats, steel, 0.08), (*at[:2], 0.25 * flats), (0, 0, rng.uniform(0, 60)))
        else:
            ring = [draw_circle(0.7 * flats), draw_circle(0.32 * flats)]
            place(cut_plate("washer", ring, 0.16, steel, 0.03), (*at[:2], 0.08))


def lay_spanner(at: tuple[float, float], turn_deg: float) -> None:
    """Lay an open spanner on the bench for scale."""
    steel = mix_metal("spanner", BARE_STEEL, roughness=(0.18, 0.34), oil=0.3)
    big, small = 1.55, 1.3
    shape = wrap_circles([(-7.0, 0, 0.62), (7.0, 0, 0.55)])
    handle = cut_plate("handle", [shape], 0.45, steel, 0.14)
    heads = []
    for x, r, way in ((-8.2, big, 180), (8.2, small, 0)):
        jaw = [(r * math.cos(math.radians(a)), r * math.sin(math.radians(a))) for a in range(42, 319, 6)]
        jaw += [(-0.35 * r, -0.55 * r), (-0.5 * r, 0), (-0.35 * r, 0.55 * r)]
        heads.append(place(cut_plate("jaw", [jaw], 0.62, steel, 0.1), (x, 0, 0), (0, 0, way + 15)))
    place([handle, *heads], (*at, 0.31), (0, 0, turn_deg))


# --- The pictures -------------------------------------------------------------

LARGE, MIDDLE, PINION = 48, 26, 14  # teeth of the winch's gear train
TRAIN_MODULE_CM = 0.35
HALF_DRUM_CM = 9.0
LARGE_AT, MIDDLE_AT, PINION_AT = (0.0, 12.4), (12.75, 14.65), (17.2, 9.25)


def turn_to_mesh(first: int, first_turn: float, second: int, line: float) -> float:
    """Return the second gear's turn so that its gap meets the first's tooth along `line` (radians)."""
    return line + math.pi + math.pi / second - (first_turn - line) * first / second


def mount_train(frame: Matrix) -> None:
    """Mount the meshing gears on the outside of the winch's side plate."""
    turn, places = 0.06, (LARGE_AT, MIDDLE_AT, PINION_AT)
    for number, (teeth, (x, y)) in enumerate(zip((LARGE, MIDDLE, PINION), places, strict=True)):
        if number:
            px, py = places[number - 1]
            turn = turn_to_mesh((LARGE, MIDDLE, PINION)[number - 1], turn, teeth, math.atan2(y - py, x - px))
        root = teeth * TRAIN_MODULE_CM / 2 - 1.25 * TRAIN_MODULE_CM
        steel = mix_metal(
            f"gear {teeth}", BARE_STEEL, oil=0.5, turned=0.5, wear=0.8, grimy_inside_cm=(root - 0.5, root + 1.1)
        )
        web = mix_metal(f"web {teeth}", BARE_STEEL, oil=0.75, turned=0.5, wear=0.8)
        gear = make_gear(teeth, TRAIN_MODULE_CM, 2.2, steel, bore_cm=0.16 * root + 0.6, web_steel=web, turn=turn)
        place(gear, (x, y, 2.1), frame=frame)
        dark = mix_metal(f"spindle {teeth}", BARE_STEEL, turned=0.8, oil=0.4)
        bore = 0.16 * root + 0.6
        spindle = turn_part(
            "spindle", [(0, 3.9), (bore - 0.12, 3.9), (bore - 0.02, 3.8), (bore - 0.02, 0), (0, 0)], dark
        )
        place(spindle, (x, y, 0), frame=frame)
        clip = [(bore * 1.28 * math.cos(a), bore * 1.28 * math.sin(a)) for a in np.linspace(0.5, 5.8, 50)]
        clip += [(bore * 0.92 * math.cos(a), bore * 0.92 * math.sin(a)) for a in np.linspace(5.9, 0.4, 50)]
        place(cut_plate("circlip", [clip], 0.14, dark, 0.03), (x, y, 3.45), frame=frame)


def make_gear(
    teeth: int,
    module_cm: float,
    width_cm: float,
    steel: Material,
    *,
    bore_cm: float,
    web_steel: Material | None = None,
    turn: float = 0.0,
    holes: int = 6,
) -> list[Part]:
    """Make a gear of rim, thin web with holes, and hub; a small one is solid. The rim comes first."""
    root = teeth * module_cm / 2 - 1.25 * module_cm
    bore = draw_keyed_bore(bore_cm, 0.5 * bore_cm, 0.22 * bore_cm, turn + 0.8)
    outline = draw_gear(teeth, module_cm, turn)
    bevel = 0.12 * module_cm
    if root < 2.6 * bore_cm:
        return [cut_plate("gear", [outline, bore], width_cm, steel, bevel)]
    rim_r, hub_r = root - 1.9 * module_cm, 1.75 * bore_cm
    middle, hole_r = (rim_r + hub_r) / 2, 0.32 * (rim_r - hub_r)
    spots = [turn + 2 * math.pi * (n + 0.5) / holes for n in range(holes)]
    web = [draw_circle(rim_r + 0.1), draw_circle(hub_r - 0.1)]
    web += [draw_circle(hole_r, middle * math.cos(a), middle * math.sin(a)) for a in spots]
    return [
        cut_plate("rim", [outline, draw_circle(rim_r)], width_cm, steel, bevel),
        cut_plate("web", web, 0.4 * width_cm, web_steel or steel, 0.06),
        cut_plate("hub", [draw_circle(hub_r), bore], 1.12 * width_cm, web_steel or steel, 0.09),
    ]


def build_winch(*, guard: bool) -> Matrix:
    """Build the winch and return the frame of its near side plate (x along, y up, z out)."""
    green = mix_paint("green paint", (0.035, 0.125, 0.06), chips=0.35, mud=0.9)
    bolts = mix_metal("bolts", DARK_STEEL, oil=0.45, rust=0.35)
    gear_room = [(*LARGE_AT, 9.5), (*MIDDLE_AT, 5.7), (*PINION_AT, 3.6)]
    plate = wrap_circles([(x, y, r + 1.7) for x, y, r in gear_room] + [(-9.5, 0.8, 0.8), (20.0, 0.8, 0.8)])
    near = Matrix.Translation((0, -HALF_DRUM_CM, 0)) @ Matrix.Rotation(math.pi / 2, 4, "X")
    far = Matrix.Translation((0, HALF_DRUM_CM, 0)) @ Matrix.Rotation(math.pi / 2, 4, "X")
    low = wrap_circles([(*LARGE_AT, 3.4), (-9.5, 0.8, 0.8), (20.0, 0.8, 0.8), (18.0, 6.0, 2.0)])
    for frame, outline in ((near, plate), (far, low)):
        place(cut_plate("side plate", [outline], 0.8, green, 0.1), (0, 0, -0.4), frame=frame)
    for n in range(5):
        a = 2 * math.pi * n / 5
        place(
            make_bolt(1.0, bolts),
            (LARGE_AT[0] + 2.5 * math.cos(a), LARGE_AT[1] + 2.5 * math.sin(a), -0.8),
            (180, 0, 9 * n),
            far,
        )
    foot = mix_paint("foot paint", (0.03, 0.11, 0.055), chips=0.5, mud=0.9)
    for y in (-HALF_DRUM_CM - 1.1, HALF_DRUM_CM + 1.1):
        rail = round_corners([(-10.5, -1.6), (21, -1.6), (21, 1.6), (-10.5, 1.6)], 0.8)
        holes = [draw_circle(0.55, x, 0.3 if y > 0 else -0.3) for x in (-9.2, 19.8)]
        place(cut_plate("foot", [rail, *holes], 0.7, foot, 0.08), (0, y, 0.35))
    rim = wrap_circles([(x, y, r + 0.75) for x, y, r in gear_room])
    spots = [rim[round(n * len(rim) / 10) % len(rim)] for n in range(10)]
    if guard:
        mount_guard(near, gear_room, rim, spots, bolts)
    else:
        hole = mix_plain("empty hole", (0.01, 0.01, 0.01), 0.8)
        bare = mix_paint("paint under the guard", (0.055, 0.19, 0.09), chips=0.0)
        place(
            cut_plate("guard mark", [rim, wrap_circles([(x, y, r) for x, y, r in gear_room])], 0.02, bare, 0.005),
            (0, 0, 0.005),
            frame=near,
        )
        for n, (x, y) in enumerate(spots):
            if n in (2, 7):
                place(make_bolt(1.3, bolts), (x, y, 0.2), (0, 0, 17 * n), near)
            else:
                place(cut_plate("hole", [draw_circle(0.36, x, y)], 0.04, hole, 0.01), (0, 0, 0.02), frame=near)
        mount_train(near)
    wind_drum()
    for x, y in ((-6.5, 2.6), (17.5, 2.6)):
        bar = turn_part("tie bar", [(0.8, 0.1 - HALF_DRUM_CM), (0.8, HALF_DRUM_CM - 0.1)], green, segments=40)
        place(bar, (x, 0, y), (90, 0, 0))
        place(make_bolt(1.7, bolts), (x, y, 0), (0, 0, 11), near)
    return near


def mount_guard(
    frame: Matrix, room: list[tuple[float, float, float]], rim: list[Point], spots: list[Point], bolts: Material
) -> None:
    orange = mix_paint("guard paint", (0.50, 0.135, 0.02), chips=0.4, mud=0.5)
    shell = wrap_circles([(x, y, r - 0.6) for x, y, r in room])
    rib = wrap_circles([(x, y, 0.6 * r) for x, y, r in room[:2]])
    place(cut_plate("guard flange", [rim], 0.24, orange, 0.06), (0, 0, 0.12), frame=frame)
    place(cut_plate("guard shell", [shell], 4.2, orange, 0.7), (0, 0, 2.1), frame=frame)
    place(cut_plate("guard rib", [rib], 0.5, orange, 0.22), (0, 0, 4.2), frame=frame)
    for n, (x, y) in enumerate(spots):
        place(make_bolt(1.3, bolts), (x, y, 0.24), (0, 0, 17 * n), frame)
    steel = mix_metal("input shaft", BARE_STEEL, turned=0.6, oil=0.3, rust=0.2)
    shaft = turn_part("input shaft", [(0, 9.3), (1.0, 9.3), (1.12, 9.18), (1.12, 0), (0, 0)], steel)
    slot = make_lump((0.62, 0.9, 4.2), steel, seed=1, rough_cm=0.0, cuts=1)
    place(slot, (0, 1.12, 8.2))
    place(bite(shaft, slot), (*PINION_AT, 0), frame=frame)
    seal = mix_plain("seal rubber", (0.03, 0.03, 0.03), 0.5)
    collar = cut_plate("seal", [draw_circle(2.0), draw_circle(1.1)], 0.5, seal, 0.15)
    place(collar, (*PINION_AT, 4.35), frame=frame)


def wind_drum() -> None:
    """Wind wire rope on the drum and lead its end over the bench to a hook."""
    steel = mix_metal("drum", DARK_STEEL, oil=0.3, rust=0.3, turned=0.3)
    out, core = HALF_DRUM_CM - 0.9, 4.6
    wheel = [(0, -out), (8.2, -out), (8.5, 0.2 - out), (8.5, 0.6 - out), (8.2, 0.8 - out), (core, 0.8 - out)]
    wheel += [(r, -z) for r, z in wheel[::-1]]
    place(turn_part("drum", wheel, steel), (LARGE_AT[0], 0, LARGE_AT[1]), (90, 0, 0))
    rope = mix_metal("wire rope", BARE_STEEL, oil=0.3, rust=0.1, roughness=(0.28, 0.45), wear=0.0)
    rope_r, path, rng, wander = 0.42, [], random.Random(8), 0.0
    lanes = 2 * (out - 1.25)
    turns = int(lanes / (2.06 * rope_r))
    for layer, share_to in ((0, 1.0), (1, 1.0), (2, 0.55)):
        for step in range(int(turns * 90 * share_to)):
            along = step / (turns * 90)
            wander = 0.96 * wander + rng.gauss(0, 0.004)
            a = 2 * math.pi * step / 90
            r = core + rope_r + layer * 1.75 * rope_r + abs(wander)
            y = lanes * (along - 0.5) * (-1 if layer % 2 else 1)
            path.append((LARGE_AT[0] + r * math.cos(a), y + wander, LARGE_AT[1] + r * math.sin(a)))
    path = path[: -(len(path) % 90) - 90 + 45]  # leave on the -x side, running down
    x, y, _ = path[-1]
    tail = [
        path[-1],
        (x - 0.2, y, 7.0),
        (x - 1.5, y, 0.3),
        (x - 6, y - 1, 0.45),
        (x - 9, y - 6, 0.45),
        (x - 8, y - 12, 0.45),
    ]
    path += smooth_line(tail, 5)[1:]
    for strand in range(6):
        draw_wire("strand", twist_strand(np.array(path), 0.62 * rope_r, strand / 6, 3.0), 0.42 * rope_r, rope, sides=2)
    forge_hook(path[-1])


def forge_hook(at: tuple[float, ...]) -> None:
    """Lay a forged hook with its ferrule at the end of the rope, pointing along -y."""
    steel = mix_metal("hook", DARK_STEEL, oil=0.2, rust=0.45)
    line = [(0, 1.0), (0, 0), (0, -1.6)] + [
        (1.9 - 1.9 * math.cos(a), -1.8 - 1.9 * math.sin(a)) for a in np.linspace(0.2, 3.5, 16)
    ]
    curve = draw_curve(
        "hook",
        [smooth_line([(x, y, 0.0) for x, y in line], 2)],
        steel,
        dimensions="3D",
        bevel_depth=0.62,
        bevel_resolution=5,
        use_fill_caps=True,
    )
    knots = curve.data.splines[0].points
    for n, knot in enumerate(knots):
        share = n / len(knots)
        knot.radius = 1.25 - 0.95 * max(0.0, share - 0.6) / 0.4
    place(bake_part(curve), (at[0], at[1] - 1.4, 0.8))
    ferrule = turn_part(
        "ferrule",
        round_corners([(0, -1.2), (0.85, -1.2), (0.85, 1.6), (0, 1.6)], 0.25, closed=False),
        steel,
        segments=48,
    )
    place(ferrule, (at[0], at[1], 0.85), (90, 0, 0))


def twist_strand(path: Any, offset_cm: float, phase: float, lay_cm: float) -> Any:
    """Return one strand's line, twisted about a rope's line (n by 3, cm)."""
    run = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(path, axis=0), axis=1))])
    even = np.arange(0.0, run[-1], lay_cm / 9)
    line = np.stack([np.interp(even, run, path[:, axis]) for axis in range(3)], axis=1)
    ahead = np.gradient(line, axis=0)
    ahead /= np.linalg.norm(ahead, axis=1, keepdims=True)
    across = np.cross(ahead, np.array([0.0, 1.0, 0.02]))
    across /= np.linalg.norm(across, axis=1, keepdims=True)
    over = np.cross(ahead, across)
    angle = (2 * np.pi * (phase + even / lay_cm))[:, None]
    return line + offset_cm * (np.cos(angle) * across + np.sin(angle) * over)


def smooth_line(points: Sequence[Any], rounds: int = 3) -> list[tuple[float, ...]]:
    """Cut a line's corners again and again until it runs smooth; its ends stay."""
    line = [np.array(p, float) for p in points]
    for _ in range(rounds):
        inner = [q for a, b in itertools.pairwise(line) for q in (0.75 * a + 0.25 * b, 0.25 * a + 0.75 * b)]
        line = [line[0], *inner, line[-1]]
    return [tuple(p) for p in line]


def show_winch() -> View:
    lay_bench("wood")
    build_winch(guard=True)
    lay_spanner((10, -22), 24)
    scatter_bench(3, 34)
    light_workshop()
    return View(target=(0.5, -4, 8.2), bearing_deg=-131, height_deg=33, distance_cm=92, lens_mm=58, f_number=11)


def show_train() -> View:
    lay_bench("wood")
    build_winch(guard=False)
    light_workshop()
    return View(
        target=(5.6, -8, 11.6), bearing_deg=-102, height_deg=16, distance_cm=58, exposure=1.0, lens_mm=55, f_number=11
    )


def show_band() -> View:
    lay_bench("wood")
    steel = mix_metal("band steel", DARK_STEEL, oil=0.45, rust=0.3, roughness=(0.28, 0.45))
    lining, brass = mix_lining(), mix_metal("rivets", BRASS, oil=0.1, turned=0.4, wear=0.0)
    worn = mix_metal("rubbed rivets", (0.95, 0.72, 0.36), oil=0.0, roughness=(0.12, 0.25), ground=0.7, wear=0.0)
    radius, high, start, sweep = 9.0, 4.4, math.radians(14), math.radians(276)

    def lining_cm(share: float) -> float:
        return 0.045 + 0.86 * min(1.0, max(0.0, (share - 0.13) / 0.40)) ** 0.85

    def bend_strip(
        name: str,
        thick_at: Callable[[float], float],
        inner: Callable[[float], float],
        low: float,
        top: float,
        material: Material,
        ends: tuple[float, float],
    ) -> Part:
        count, corners, faces = 150, [], []
        for n in range(count + 1):
            share = ends[0] + (ends[1] - ends[0]) * n / count
            a, r = start + sweep * share, inner(share)
            ring = round_corners(
                [(r, low), (r + thick_at(share), low), (r + thick_at(share), top), (r, top)],
                min(0.06, 0.4 * thick_at(share)),
                steps=2,
            )
            corners += [(rr * math.cos(a), rr * math.sin(a), z) for rr, z in ring]
        rows = len(ring)
        for n in range(count):
            faces += [
                (n * rows + k, n * rows + (k + 1) % rows, (n + 1) * rows + (k + 1) % rows, (n + 1) * rows + k)
                for k in range(rows)
            ]
        faces += [tuple(range(rows)), tuple(range(count * rows, (count + 1) * rows))]
        return add_mesh(name, corners, faces, material)

    bend_strip("band", lambda _: 0.32, lambda _: radius, 0, high, steel, (0, 1))
    pad = bend_strip(
        "pad", lining_cm, lambda share: radius - lining_cm(share), 0.25, high - 0.25, lining, (0.035, 0.965)
    )
    scored = mix_metal(
        "scored band", (0.85, 0.84, 0.82), oil=0.05, roughness=(0.16, 0.3), wear=0.0, scored=0.9, bump=0.35
    )
    bend_strip("scored steel", lambda _: 0.012, lambda _: radius - 0.012, 0.3, high - 0.3, scored, (0.03, 0.2))
    bare = start + sweep * 0.052
    gone = place(
        make_lump((2.0, 3.9, 7.0), lining, seed=14, rough_cm=0.45),
        (radius * math.cos(bare), radius * math.sin(bare), high / 2),
        (0, 0, math.degrees(bare)),
    )
    pad = bite(pad, gone)
    rivets = []
    for n in range(9):
        share = 0.075 + n * 0.106
        a = start + sweep * share
        for z in (1.25, high - 1.25):
            thick = lining_cm(share)
            proud = thick < 0.45
            face = radius - (thick + 0.38 if proud else 0.16)
            at, aim = (face * math.cos(a), face * math.sin(a), z), (0, -90, math.degrees(a))
            if not proud:
                hole = turn_part("hole", [(0, -0.2), (0.46, -0.2), (0.46, 1.2), (0, 1.2)], lining, segments=40)
                pad = bite(pad, place(hole, at, aim))
            shape = round_corners([(0, 0.0), (0.44, 0.0), (0.5, -0.06), (0.5, -0.4), (0, -0.4)], 0.04, closed=False)
            rivets.append(place(turn_part("rivet", shape, worn if proud else brass, segments=40), at, aim))
            if proud:
                dent = turn_part(
                    "rivet hole",
                    [(0.0, 0.02), (0.15, 0.02), (0.17, 0.0)],
                    mix_plain("bore", (0.02, 0.02, 0.02), 0.7),
                    segments=24,
                )
                place(dent, (at[0] - 0.01 * math.cos(a), at[1] - 0.01 * math.sin(a), z), aim)
    for share, way in ((0.0, 1), (1.0, -1)):
        a = start + sweep * share
        lug = round_corners([(0, 0), (3.0, 0), (3.0, high), (0, high)], 0.7)
        ear = cut_plate("lug", [lug, draw_circle(0.62, 1.7, high / 2)], 0.9, steel, 0.1)
        place(ear, (0, 0, 0), (90, 0, 0))
        place(
            ear,
            (radius * math.cos(a) + 0.35 * way * math.sin(a), radius * math.sin(a) - 0.35 * way * math.cos(a), 0),
            (0, 0, math.degrees(a)),
        )
    lay_spanner((5, 17), 12)
    light_workshop()
    return View(target=(1.3, 1.7, 1.5), bearing_deg=-101, height_deg=33, distance_cm=40, lens_mm=62, f_number=11)


def show_pawl() -> View:
    lay_bench("wood")
    steel = mix_metal("pawl steel", DARK_STEEL, oil=0.4, ground=0.5, wear=0.7, rust=0.1)
    broken = mix_fracture()
    boss = [(1.95 * math.cos(math.radians(a)), 1.95 * math.sin(math.radians(a))) for a in range(62, 312, 6)]
    beak = [
        (1.9, -1.25),
        (3.6, -0.55),
        (5.6, -0.5),
        (7.3, -0.95),
        (8.95, -1.75),
        (8.75, -0.35),
        (7.6, 0.95),
        (5.2, 1.62),
        (2.2, 1.9),
    ]
    radii = [0.0] * len(boss) + [0.7, 0.9, 0.9, 0.8, 0.06, 0.35, 0.9, 1.2, 0.9]
    outline = round_corners(boss + beak, radii)
    pawl = cut_plate("pawl", [outline, draw_circle(0.95), draw_circle(0.28, 3.6, 0.75, 24)], 1.7, steel, 0.09)
    whole = pawl.copy()
    whole.data = pawl.data.copy()
    bpy.context.scene.collection.objects.link(whole)
    lump = place(make_lump((2.6, 3.4, 3.0), broken, seed=5, rough_cm=0.22), (9.35, -1.5, 0.75), (28, 18, -28))
    pawl = bite(pawl, lump, keep_cutter=True)
    flake = bite(whole, lump, "INTERSECT")
    place(pawl, (-4.5, 0.6, 0.85), (0, 0, 8))
    place(flake, (-8.4, 1.3, -0.4))
    rest_on([place(flake, (0, 0, 0), (25, -20, 40))], 0.0, (5.9, -2.6))
    bush = turn_part(
        "worn ring", [(0.95, 0.86), (1.35, 0.86)], mix_metal("rub mark", BARE_STEEL, turned=0.9, oil=0.1), segments=64
    )
    place(bush, (-4.5, 0.6, 0.85))
    lay_spanner((2, 11), -10)
    scatter_bench(11, 12, 26)
    light_workshop()
    return View(target=(1.0, -0.6, 0.5), bearing_deg=-72, height_deg=43, distance_cm=26, lens_mm=70, f_number=11)


def show_ratchet() -> View:
    lay_bench("steel")
    steel = mix_metal("ratchet steel", DARK_STEEL, oil=0.45, turned=0.4, wear=0.7, rust=0.12)
    bright = mix_metal("worn tooth", (0.93, 0.92, 0.90), oil=0.0, roughness=(0.14, 0.26), wear=0.0)
    teeth, tip, root, wide = 20, 7.2, 5.9, 1.7
    worn = {12: 0.6, 13: 0.9, 14: 1.1, 15: 1.0, 16: 0.7}
    outline: list[Point] = []
    for n in range(teeth):
        a, gap = 2 * math.pi * n / teeth, 2 * math.pi / teeth
        low, peak, drop = (root, a + 0.08 * gap), (tip, a + 0.86 * gap), (root, a + 0.97 * gap)
        shape = [
            (r * math.cos(b), r * math.sin(b))
            for r, b in (low, (root + 0.30 * (tip - root), a + 0.30 * gap), peak, drop)
        ]
        if n in worn:
            lost = worn[n]
            peak = (tip - 0.62 * lost, a + (0.86 - 0.16 * lost) * gap)
            shape[2] = (peak[0] * math.cos(peak[1]), peak[0] * math.sin(peak[1]))
            shape = round_corners([shape[3], *shape[:3], shape[3], shape[0]], [0, 0.15, 0.3, 0.95, 0.2, 0], steps=10)[
                1:-1
            ]
        else:
            shape = round_corners([shape[3], *shape[:3], shape[3], shape[0]], [0, 0.15, 0.0, 0.02, 0.15, 0])[1:-1]
        outline += shape
    wheel = cut_plate("ratchet", [outline, draw_circle(4.4)], wide, steel, 0.06)
    gap = 2 * math.pi / teeth

    def rubbed(spot: Vector) -> bool:
        number = math.atan2(spot.y, spot.x) % (2 * math.pi) / gap
        return int(number) in worn and spot.xy.length > root + 0.25 and abs(spot.z) < wide / 2 - 0.03

    repaint(wheel, bright, rubbed)
    bore = draw_keyed_bore(1.5, 0.8, 0.35, 2.2)
    web = [draw_circle(4.5), draw_circle(2.4)] + [
        draw_circle(0.42, 3.4 * math.cos(a), 3.4 * math.sin(a)) for a in np.arange(6) * math.pi / 3
    ]
    parts = [
        wheel,
        cut_plate("web", web, 0.9, steel, 0.08),
        cut_plate("hub", [draw_circle(2.5), bore], 2.3, steel, 0.12),
    ]
    place(parts, (0, 0, 1.15), (0, 0, 24))
    scatter_bench(5, 11, 30)
    light_workshop(40)
    return View(
        target=(0.3, -1.2, 0.8), bearing_deg=-90, height_deg=47, distance_cm=34, lens_mm=70, f_number=11, exposure=0.55
    )


def wind_spring(
    turns: float, radius_cm: float, wire_cm: float, pitch: float, hooks: tuple[bool, bool], stretched_end: float = 0.0
) -> list[tuple[float, ...]]:
    """Wind a spring's wire along z from 0, with a loop at each end that has a hook.

    `pitch` is in wire diameters a turn; `stretched_end` opens the last turn by so many more.
    """
    count, line = int(turns * 40), []
    z = 0.0
    for n in range(count + 1):
        a = 2 * math.pi * n / 40
        left = (count - n) / 40
        line.append((radius_cm * math.cos(a), radius_cm * math.sin(a), z))
        z += wire_cm * 2 * (pitch + stretched_end * max(0.0, 1.0 - left / 1.3)) / 40
    if hooks[1]:
        end = line[-1]
        turn = math.atan2(end[1], end[0])
        line += [(c[0], c[1], end[2] + c[2]) for c in bend_hook(radius_cm, wire_cm, turn)]
    if hooks[0]:
        start = [(c[0], -c[1], -c[2]) for c in bend_hook(radius_cm, wire_cm, 0.0)]
        line = start[::-1] + line
    return line


def bend_hook(radius_cm: float, wire_cm: float, turn: float) -> list[tuple[float, float, float]]:
    """Bend the loop that stands on a spring's end, from the coil outwards."""
    flat = [(radius_cm, 0.25 * radius_cm, 0.5 * wire_cm), (0.97 * radius_cm, 0.42 * radius_cm, 1.4 * wire_cm)]
    bent = [
        (radius_cm * math.cos(a), 0.0, 2.2 * wire_cm + radius_cm * (1.0 + math.sin(a)))
        for a in np.linspace(-0.15, 1.45 * math.pi, 34)
    ]
    flat = [(radius_cm * math.cos(a), radius_cm * math.sin(a), 0.3 * wire_cm * a) for a in (0.25, 0.55)]
    lift = [(0.80 * radius_cm, 0.35 * radius_cm, 1.6 * wire_cm)]
    line = smooth_line([*flat, *lift, *bent], 2)
    c, s = math.cos(turn), math.sin(turn)
    return [(c * x - s * y, s * x + c * y, z) for x, y, z in line]


def rest_on(parts: list[Part], height_cm: float, at: Point) -> None:
    """Let parts down until their lowest corner is at a height, and shift them over the bench."""
    bpy.context.view_layer.update()
    low = min((part.matrix_world @ corner.co).z for part in parts for corner in part.data.vertices)
    place(parts, (*at, height_cm - low))


def lay_spring(parts: list[Part], at: tuple[float, float], turn_deg: float, roll_deg: float) -> None:
    place(parts, (0, 0, 0), (0, 0, roll_deg))
    place(parts, (0, 0, 0), (0, 90, 0))
    place(parts, (0, 0, 0), (0, 0, turn_deg))
    rest_on(parts, 0.0, at)


def cap_break(line: list[tuple[float, ...]], wire_cm: float, broken: Material, seed: int) -> Part:
    """Put a craggy, bright face on the end of a snapped wire."""
    end, before = Vector(line[-1]), Vector(line[-3])
    ahead = (end - before).normalized()
    rng = random.Random(seed)
    rings, corners, faces = 7, [(0.0, 0.0, 0.9 * wire_cm)], []
    for ring in range(1, rings + 1):
        r = wire_cm * ring / rings
        for k in range(28):
            a = 2 * math.pi * k / 28
            rise = 0.55 * r * math.cos(a) + 0.5 * wire_cm + rng.uniform(-0.12, 0.12) * wire_cm
            corners.append((r * math.cos(a), r * math.sin(a), -0.2 * wire_cm if ring == rings else rise))
    corners[0] = (0, 0, 0.5 * wire_cm)
    faces += [(0, 1 + k, 1 + (k + 1) % 28) for k in range(28)]
    for ring in range(1, rings):
        base = 1 + (ring - 1) * 28
        faces += [(base + k, base + 28 + k, base + 28 + (k + 1) % 28, base + (k + 1) % 28) for k in range(28)]
    cap = add_mesh("broken end", corners, faces, broken, 15.0)
    cap.matrix_world = Matrix.Translation(end) @ ahead.to_track_quat("Z", "X").to_matrix().to_4x4()
    return cap


def lay_broken_spring(
    radius_cm: float,
    wire_cm: float,
    at: tuple[float, float],
    gap_cm: float,
    turns: tuple[float, float],
    steel: Material,
    broken: Material,
    bend_deg: tuple[float, float],
) -> None:
    """Lay a snapped spring along x: two hooked pieces with their broken ends facing."""
    for side, turn, count, bend in zip((-1, 1), (0, 180), turns, bend_deg, strict=True):
        line = wind_spring(count, radius_cm, wire_cm, 1.06, (True, False), 1.5)
        parts = [draw_wire("half", line, wire_cm, steel, sides=5), cap_break(line, wire_cm, broken, side + 5)]
        length = line[-1][2]
        off = side * (gap_cm / 2 + length)
        lay_spring(parts, (at[0] + off, at[1]), turn + bend, (32, -176)[side > 0])


def show_springs() -> View:
    lay_bench("steel")
    broken = mix_fracture()
    for n in range(4):
        steel = mix_metal(
            f"spring {n}",
            BARE_STEEL if n != 1 else DARK_STEEL,
            oil=0.35,
            rust=0.12 * n,
            wear=0.2,
            roughness=(0.2, 0.36),
        )
        y = 5.1 - 3.4 * n
        if n == 2:
            lay_broken_spring(1.05, 0.16, (0.0, y), 1.9, (9.3, 10.6), steel, broken, (-4, 5))
            continue
        line = wind_spring(23.5, 1.05, 0.16, 1.04, (True, True))
        lay_spring(
            [draw_wire("spring", line, 0.16, steel, sides=4)],
            (-line[-1][2] / 2 + 0.4 * math.sin(3 * n), y),
            (2.0, -1.5, 0, 1.2)[n],
            40 + 50 * n,
        )
    light_workshop()
    return View(target=(0, -0.2, 0.6), bearing_deg=-90, height_deg=52, distance_cm=37, lens_mm=70, f_number=16)


def show_broken_spring() -> View:
    lay_bench("steel")
    steel = mix_metal("spring 2", BARE_STEEL, oil=0.35, rust=0.24, wear=0.2, roughness=(0.2, 0.36))
    lay_broken_spring(1.05, 0.16, (0, 0), 1.5, (7.3, 8.6), steel, mix_fracture(), (-8, 9))
    light_workshop()
    return View(target=(0.4, 0.0, 0.8), bearing_deg=-84, height_deg=40, distance_cm=27, lens_mm=75, f_number=16)


def make_chipped_gear() -> list[Part]:
    """Make the gear with two adjacent teeth broken off, in the middle of its -y side."""
    module, teeth, width = 0.5, 24, 3.0
    root = teeth * module / 2 - 1.25 * module
    steel = mix_metal(
        "chipped gear", BARE_STEEL, oil=0.4, turned=0.5, wear=0.8, grimy_inside_cm=(root - 0.3, root + 0.9)
    )
    broken = mix_fracture()
    pitch = 2 * math.pi / teeth
    web = mix_metal("chipped gear web", BARE_STEEL, oil=0.6, turned=0.5, wear=0.8)
    parts = make_gear(teeth, module, width, steel, bore_cm=1.25, web_steel=web, turn=-math.pi / 2 + pitch / 2)
    for side, (low, tilt, length, shift) in zip((-1, 1), ((0.10, 3, 4.0, 0.0), (0.16, -6, 3.2, 0.8)), strict=True):
        a = -math.pi / 2 + side * pitch / 2
        block = make_lump((2.0, 0.95 * pitch * root, length), broken, seed=40 + side, rough_cm=0.13, cuts=30)
        r = root + low * 2.25 * module + 1.08
        place(block, (0, 0, 0), (0, tilt, 0))
        place(block, (r * math.cos(a), r * math.sin(a), shift), (0, 0, math.degrees(a)))
        parts[0] = bite(parts[0], block)
    return parts


def show_chipped_gear() -> View:
    lay_bench("wood")
    place(make_chipped_gear(), (0, 0, 1.7), (0, 0, 30))
    lay_spanner((-2, 14), 14)
    scatter_bench(21, 10, 26)
    light_workshop()
    return View(target=(0.5, -1.3, 1.5), bearing_deg=-90, height_deg=44, distance_cm=33, lens_mm=72, f_number=11)


def show_chipped_gear_side() -> View:
    lay_bench("wood")
    place(make_chipped_gear(), (0, 0, 1.7), (0, 0, 52))
    scatter_bench(22, 10, 26)
    light_workshop(10)
    return View(target=(0.7, -2.4, 1.5), bearing_deg=-90, height_deg=20, distance_cm=28, lens_mm=66, f_number=22)


def show_pinion() -> View:
    lay_bench("steel")
    clean = mix_metal("clean pinion", (0.66, 0.66, 0.67), oil=0.08, turned=0.4, wear=0.6, roughness=(0.16, 0.28))
    ground = mix_metal("ground shaft", (0.70, 0.70, 0.71), oil=0.04, turned=0.7, wear=0.4, roughness=(0.12, 0.22))
    gear = cut_plate("pinion", [draw_gear(14, 0.5, 0.12)], 3.6, clean, 0.07)
    profile = [
        (0, -5.2),
        (1.25, -5.2),
        (1.4, -5.05),
        (1.4, -3.0),
        (1.3, -2.95),
        (1.3, -2.75),
        (1.4, -2.7),
        (1.4, -2.2),
        (2.0, -2.1),
        (2.0, 2.1),
        (1.7, 2.2),
        (1.7, 5.0),
        (1.5, 5.1),
        (1.5, 8.4),
        (1.4, 8.4),
        (1.4, 8.65),
        (1.5, 8.65),
        (1.5, 9.2),
        (1.38, 9.35),
        (0, 9.35),
    ]
    shaft = turn_part("shaft", profile, ground)
    slot = cut_plate("slot", [wrap_circles([(5.9, 0, 0.4), (7.6, 0, 0.4)])], 0.9, ground, 0.02)
    place(slot, (0, 0, 0), (0, -90, 0))
    shaft = bite(shaft, place(slot, (1.45, 0, 0)))
    parts = place([gear, shaft], (0, 0, 0), (0, 0, 205))
    place(parts, (0, 0, 0), (0, 90 + 19.1, 20))
    rest_on(parts, 0.4, (-2.0, 0))
    rag = mix_plain("rag", (0.30, 0.055, 0.04), 0.95, 0.8, 22.0)
    spread_rag(rag, (0, 0), 13)
    light_workshop()
    return View(target=(-0.2, 0.3, 2.6), bearing_deg=-78, height_deg=33, distance_cm=40, lens_mm=70, f_number=11)


def spread_rag(material: Material, at: tuple[float, float], half_cm: float) -> None:
    """Spread a creased rag on the bench."""
    count, corners, faces = 130, [], []
    for row in range(count + 1):
        for col in range(count + 1):
            x, y = (2 * col / count - 1) * half_cm, (2 * row / count - 1) * half_cm
            spot = Vector((x * 0.16, y * 0.16, 3.7))
            fold = (
                0.9 - 2.2 * abs(noise.noise(spot)) - 1.1 * abs(noise.noise(spot * 2.1)) + 0.15 * noise.noise(spot * 6.0)
            )
            edge = 0.8 * noise.noise(Vector((x * 0.2, y * 0.2, 9.0)))
            corners.append((at[0] + x + edge, at[1] + y - edge, 0.06 + 0.75 * max(0.0, fold) ** 1.5))
    for row in range(count):
        for col in range(count):
            k = row * (count + 1) + col
            faces.append((k, k + 1, k + count + 2, k + count + 1))
    add_mesh("rag", corners, faces, material, 180.0)


def show_bearing() -> View:
    lay_bench("steel")
    race_r, half, outer = 4.25, 1.1, 5.3
    dip = [(race_r + 0.42 * math.sqrt(max(0.0, 1 - (z / 0.66) ** 2)), z) for z in np.linspace(0.66, -0.66, 25)]
    corners = [(outer, -half), (outer, half), (race_r, half), *dip, (race_r, -half)]
    radii = [0.14, 0.14, 0.08, *([0.0] * len(dip)), 0.08]
    ring = turn_part(
        "outer ring", round_corners(corners, radii), mix_pitted_race(race_r + 0.43), closed=True, segments=220
    )
    place(ring, (-1.2, 1.2, half), (0, 0, 14))
    steel = mix_metal("bearing steel", BRIGHT_STEEL, oil=0.12, turned=0.4, roughness=(0.12, 0.24), wear=0.2)
    inner_dip = [(3.0 - 0.4 * math.sqrt(max(0.0, 1 - (z / 0.66) ** 2)), z) for z in np.linspace(-0.66, 0.66, 25)]
    core = [(1.9, half), (1.9, -half), (3.0, -half), *inner_dip, (3.0, half)]
    inner = turn_part(
        "inner ring", round_corners(core, [0.14, 0.14, 0.08, *([0.0] * len(inner_dip)), 0.08]), steel, closed=True
    )
    place(inner, (7.0, 5.4, half))
    ball_steel = mix_metal("balls", BRIGHT_STEEL, oil=0.1, rust=0.12, roughness=(0.06, 0.16), wear=0.0, bump=0.03)
    arc = [(0.68 * math.sin(a), -0.68 * math.cos(a)) for a in np.linspace(0, math.pi, 40)]
    for n, (x, y) in enumerate(
        [(5.2, -3.0), (6.7, -3.4), (5.9, -1.5), (7.4, -1.9), (4.4, -4.4), (6.0, -4.8), (7.6, 0.1), (8.1, -3.3)]
    ):
        place(turn_part("ball", arc, ball_steel, segments=72), (x, y, 0.68), (31 * n, 57 * n, 0))
    light_workshop()
    return View(target=(1.3, 0.5, 1.0), bearing_deg=-92, height_deg=36, distance_cm=36, lens_mm=75, f_number=11)


def show_shims() -> View:
    lay_bench("wood")
    kinds = [
        mix_metal("brass shim", BRASS, oil=0.2, ground=0.6, roughness=(0.2, 0.36)),
        mix_metal("steel shim", BARE_STEEL, oil=0.25, ground=0.6, roughness=(0.18, 0.34)),
        mix_metal("bright shim", BRIGHT_STEEL, oil=0.15, ground=0.6, roughness=(0.16, 0.3)),
    ]
    for n, (steel, thick) in enumerate(zip(kinds, (0.08, 0.05, 0.03), strict=True)):
        ears = wrap_circles([(0, 0, 3.6), (5.0, 0, 0.95), (-5.0, 0, 0.95)])
        holes = [draw_circle(2.5, count=96), draw_circle(0.5, 5.0), draw_circle(0.5, -5.0)]
        shim = cut_plate("shim", [ears, *holes], thick, steel, 0.008)
        turn = 62 - 34 * n
        at = (3.1 * (n - 1), 0.9 - 0.9 * n, 0.05 + 0.10 * n)
        place(shim, at, (0.5 * n, 1.3 * n, turn))
    lay_spanner((-3, 11.5), 6)
    light_workshop()
    return View(target=(0.6, -0.3, 0.1), bearing_deg=-82, height_deg=42, distance_cm=36, lens_mm=68, f_number=11)


def show_shaft() -> View:
    lay_bench("wood")
    steel = mix_metal("shaft", (0.42, 0.42, 0.425), oil=0.4, turned=0.6, wear=0.6, rust=0.1, roughness=(0.24, 0.38))
    bright = mix_metal(
        "worn groove", (0.95, 0.95, 0.95), oil=0.0, turned=0.9, wear=0.0, roughness=(0.10, 0.2), bump=0.2
    )
    varnish = mix_metal("burnt oil", (0.24, 0.18, 0.125), oil=0.3, turned=0.3, wear=0.0, roughness=(0.3, 0.4))
    land = 1.75
    profile = [(0, -9.0), (1.3, -9.0), (1.45, -8.85), (1.45, -3.2), (1.62, -3.1), (land - 0.1, -3.1), (land, -3.0)]
    profile += [(land, z) for z in np.linspace(-2.9, -0.53, 60)]
    profile += [
        (land - 0.24 * math.sin(math.pi * (z + 0.5) / 0.62) ** 0.6, z) for z in np.linspace(-0.5, 0.12, 15)[1:-1]
    ]
    profile += [(land, z) for z in np.linspace(0.13, 2.5, 60)]
    profile += [
        (land, 2.9),
        (land - 0.1, 3.0),
        (1.5, 3.0),
        (1.5, 3.1),
        (1.45, 3.15),
        (1.45, 10.1),
        (1.3, 10.25),
        (0, 10.25),
    ]
    shaft = turn_part("shaft", profile, steel, segments=220)
    slot = cut_plate("slot", [wrap_circles([(5.4, 0, 0.42), (9.0, 0, 0.42)])], 1.1, steel, 0.02)
    place(slot, (0, 0, 0), (0, -90, 0))
    shaft = bite(shaft, place(slot, (1.5, 0, 0)))

    def burnt(spot: Vector) -> bool:
        reach = 0.24 + 0.2 * noise.noise(spot * 0.9) + 0.12 * noise.noise(spot * 4.0)
        return spot.xy.length > 1.6 and -0.5 - reach < spot.z < 0.13 + reach

    repaint(shaft, varnish, burnt)
    repaint(shaft, bright, lambda spot: spot.xy.length > 1.5 and -0.5 <= spot.z <= 0.13)
    place(shaft, (0, 0, 0), (0, 0, 217))
    place(shaft, (-0.4, 0, 3.4), (0, 90, 16))
    block = mix_paint("block", (0.10, 0.10, 0.105), chips=0.5)
    for x in (-7.0, 6.6):
        vee = [(-2.6, 0), (2.6, 0), (2.6, 3.0), (1.7, 3.0), (0, 1.25), (-1.7, 3.0), (-2.6, 3.0)]
        foot = cut_plate("vee block", [vee], 1.8, block, 0.07)
        place(foot, (0, 0, 0), (90, 0, 90))
        place(foot, (x * math.cos(math.radians(16)) - 0.4, x * math.sin(math.radians(16)), -0.05), (0, 0, 16))
    light_workshop()
    return View(target=(1.9, 0.4, 3.2), bearing_deg=-82, height_deg=31, distance_cm=29, lens_mm=75, f_number=11)


def show_bush() -> View:
    lay_bench("steel")
    bronze = mix_metal("bronze", BRONZE, oil=0.3, turned=0.5, roughness=(0.2, 0.36), wear=0.5)
    rubbed = mix_metal("rubbed bronze", (0.86, 0.58, 0.28), oil=0.0, ground=0.5, roughness=(0.14, 0.28), wear=0.0)
    high = 4.0

    def oval(angle: float, r: float) -> float:
        if r > 2.7:
            return r
        return r + 0.72 * abs(math.cos(angle)) ** 2.2

    profile = round_corners(
        [(3.4, 0.0), (3.4, high - 0.7), (4.4, high - 0.7), (4.4, high), (2.35, high), (2.35, 0.0)],
        [0.05, 0.05, 0.1, 0.12, 0.1, 0.05],
    )
    bush = turn_part("bush", profile, bronze, closed=True, segments=200, radius_at=oval)
    repaint(
        bush,
        rubbed,
        lambda spot: (
            spot.xy.length < 3.1
            and spot.z < high - 0.12
            and abs(math.cos(math.atan2(spot.y, spot.x))) > 0.8 + 0.12 * noise.noise(spot * 0.9)
        ),
    )
    place(bush, (0, 0, 0), (0, 0, 8))
    scatter_bench(31, 9, 24)
    light_workshop()
    return View(target=(0, -0.2, 2.8), bearing_deg=-90, height_deg=66, distance_cm=31, lens_mm=85, f_number=11)


PICTURES: dict[str, Callable[[], View]] = {
    "winch_before": show_winch,
    "guard_off": show_train,
    "brake_band": show_band,
    "pawl_chipped": show_pawl,
    "ratchet_teeth": show_ratchet,
    "springs_four": show_springs,
    "spring_broken": show_broken_spring,
    "gear_chipped": show_chipped_gear,
    "gear_chipped_2": show_chipped_gear_side,
    "pinion_good": show_pinion,
    "bearing_pitted": show_bearing,
    "shims_stack": show_shims,
    "shaft_groove": show_shaft,
    "bush_oval": show_bush,
}


# --- Rendering ----------------------------------------------------------------


def render_picture(name: str, out_dir: Path, size: tuple[int, int], samples: int) -> Path:
    """Build one picture from an empty scene, render it and save it as a JPEG without metadata."""
    bpy.ops.wm.read_factory_settings(use_empty=True)
    noise.seed_set(1 + zlib.crc32(name.encode()) % 10_000)
    view = PICTURES[name]()
    set_camera(view)
    scene = bpy.context.scene
    scene.render.engine = "CYCLES"
    scene.cycles.device = "CPU"
    scene.cycles.samples, scene.cycles.seed = samples, zlib.crc32(name.encode()) % 10_000
    scene.cycles.use_adaptive_sampling, scene.cycles.adaptive_threshold = True, 0.05
    scene.cycles.adaptive_min_samples = 6
    scene.cycles.caustics_reflective = scene.cycles.caustics_refractive = False
    scene.cycles.use_denoising, scene.cycles.denoiser = True, "OPENIMAGEDENOISE"
    scene.cycles.max_bounces, scene.cycles.diffuse_bounces, scene.cycles.glossy_bounces = 4, 1, 3
    scene.cycles.sample_clamp_indirect = 4.0
    scene.render.resolution_x, scene.render.resolution_y = size
    scene.view_settings.view_transform, scene.view_settings.look = "AgX", "AgX - High Contrast"
    scene.view_settings.exposure = view.exposure
    with tempfile.TemporaryDirectory() as folder:
        raw = Path(folder) / "raw.png"
        scene.render.filepath, scene.render.image_settings.file_format = str(raw), "PNG"
        bpy.ops.render.render(write_still=True)
        picture = Image.open(raw).convert("RGB")
    return save_jpeg(picture, out_dir / f"{name}.jpg")


def save_jpeg(picture: Image.Image, path: Path) -> Path:
    """Save at the set quality, stepping down only while the file is too large."""
    for quality in range(JPEG_QUALITY, 50, -4):
        picture.save(path, "JPEG", quality=quality, optimize=True)
        if path.stat().st_size <= LARGEST_JPEG_BYTES:
            break
    return path


def read_size(text: str) -> tuple[int, int]:
    wide, high = text.lower().split("x")
    return int(wide), int(high)


def main() -> None:
    parser = argparse.ArgumentParser(description="Render the pictures of invented machine parts.")
    parser.add_argument("out_dir", type=Path)
    parser.add_argument("--only", choices=list(PICTURES), action="append", help="render this picture only")
    parser.add_argument("--size", type=read_size, default=(1024, 768), metavar="WIDExHIGH")
    parser.add_argument("--samples", type=int, default=32)
    wanted = parser.parse_args()
    wanted.out_dir.mkdir(parents=True, exist_ok=True)
    for name in wanted.only or PICTURES:
        render_picture(name, wanted.out_dir, wanted.size, wanted.samples)


if __name__ == "__main__":
    main()
