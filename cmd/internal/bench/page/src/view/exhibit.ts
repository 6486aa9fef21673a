// A model made into things to draw: castings, stones, and what a cut needs.
import { type BufferGeometry, Color, Group, InstancedMesh, type Material, type Matrix4, Mesh, type MeshPhysicalMaterial } from "three";
import type { Casting, Model, Walls } from "../wire/container";
import { ballFor } from "./ball";
import type { Cut } from "./cut";
import { gemColor, gemGeometry, gemShape, gems, type Shape } from "./gems";
import { Gatherer } from "./gather";
import { type MetalGeometry, metalGeometry, metalMaterial } from "./metal";
import { FEW, inBlocks, reordered, standFor, trianglesOf } from "./standin";
import { colorWalls } from "./walls";

interface Piece {
  casting: Casting;
  mesh: Mesh;
  /** Its geometry in metal, and in colours of walls. */
  metal: BufferGeometry;
  wall: BufferGeometry | null;
  /** For each vertex of the metal the casting's own. */
  from: Uint32Array;
  color: Color;
  /** What stands for it while it moves, once it is made, the coarsest first. */
  plain: MetalGeometry[];
}

/** What is shown of an exhibit. */
export interface Shown {
  stones: boolean;
  /** Name of the only casting shown; "" for all. */
  casting: string;
  /** Both ears of a pair. */
  pair: boolean;
}

/** How many times the triangles of a picture the stand-ins have: more of them are drawn where less of the piece is seen. */
const LEVELS = [1, 3];
/** The share of its triangles with which nothing is a stand-in any more. */
const MOSTLY = 0.7;
/** Triangles below which no stone looks like one. */
const PLAINEST = 28;
/** Faces of a stand-in that meet at more than this, degrees, have a crease between them: it is rounded in coarse steps. */
const CREASE = 50;

/** Bodies are cut one after the other, each a whole number in drawing order. */
const FIRST_FACE = 1;

export class Exhibit {
  readonly group = new Group();
  private readonly pieces: Piece[] = [];
  private readonly stones: { mesh: InstancedMesh; color: Color; casting: string }[] = [];
  private readonly shapes: Shape[];
  private twin: Group | null = null;
  private walls: Walls | null = null;
  private shown: Shown = { stones: true, casting: "", pair: false };

  constructor(
    readonly model: Model,
    private readonly cut: Cut,
  ) {
    for (const casting of model.castings) {
      const { geometry, from } = metalGeometry(casting);
      const material = metalMaterial(casting, cut.planes);
      const mesh = new Mesh(geometry, material);
      this.pieces.push({ casting, mesh, metal: geometry, wall: null, from, color: material.color.clone(), plain: [] });
      this.group.add(mesh);
    }
    this.shapes = model.shapes.map(gemShape);
    for (const lot of model.stones) {
      const mesh = gems(lot, this.shapes[lot.shape]!, cut.planes);
      const casting = lot.casting === undefined ? "" : (model.castings[lot.casting]?.name ?? "");
      this.stones.push({ mesh, color: gemColor(lot), casting });
      this.group.add(mesh);
    }
    this.face();
    if (model.twin) this.group.add(this.second());
  }

  /** Where the other ear is, if it is shown. */
  get other(): Matrix4 | null {
    return this.twin?.visible ? this.twin.matrix : null;
  }

  /** Castings that are shown now. */
  get visible(): Casting[] {
    return this.pieces.filter((piece) => piece.mesh.visible).map((piece) => piece.casting);
  }

  /** Shows what is chosen, in a frame that is turned so. A cut is a look into the first ear alone. */
  show(shown: Shown, frame: Matrix4): void {
    this.shown = shown;
    for (const piece of this.pieces) piece.mesh.visible = this.welcome(piece.casting.name);
    for (const lot of this.stones) lot.mesh.visible = shown.stones && this.welcome(lot.casting);
    if (this.twin && this.model.twin) {
      this.twin.visible = shown.pair && !this.cut.on;
      // Each ear hangs by itself: turned first, then taken to the other ear.
      this.twin.matrix.fromArray(this.model.twin).multiply(frame).premultiply(frame.clone().invert());
    }
    for (const child of this.twin?.children ?? []) child.visible = (child.userData.like as Mesh).visible;
    this.cut.filter((tag) => {
      const { stone, casting } = tag as { stone: boolean; casting: string };
      return (!stone || shown.stones) && this.welcome(casting);
    });
  }

  /** Colours walls by their thickness; null: metal again. */
  paint(walls: Walls | null): void {
    this.walls = walls;
    this.pieces.forEach((piece, i) => {
      const wall = walls?.castings[i];
      const material = piece.mesh.material as MeshPhysicalMaterial;
      piece.wall?.dispose();
      piece.wall = null;
      if (wall && walls) {
        const fine = metalGeometry(wall);
        for (const { geometry, from } of [fine, ...piece.plain]) {
          colorWalls(geometry, from, wall.shares, walls.scale);
        }
        piece.wall = fine.geometry;
        for (const { geometry } of piece.plain) standFor(fine.geometry, inBlocks(geometry));
        standFor(fine.geometry, { geometry: fine.geometry, blocks: null });
      }
      this.dress(piece.mesh, piece.wall ?? piece.metal);
      material.vertexColors = !!wall;
      material.metalness = wall ? 0 : 1;
      material.roughness = wall ? 0.75 : Math.max(piece.casting.roughness, 0.12);
      if (wall) material.color.set(0xffffff);
      else material.color.copy(piece.color);
      material.needsUpdate = true;
    });
  }

  /** Gives a mesh, and what is like it of the other ear, another geometry. */
  private dress(mesh: Mesh, geometry: BufferGeometry): void {
    mesh.geometry = geometry;
    for (const child of this.twin?.children ?? []) {
      if (child.userData.like === mesh) (child as Mesh).geometry = geometry;
    }
  }

  /** Makes stand-ins for all that is drawn, step by step: of the whole, of parts, of details. */
  *lighten(): Generator<void> {
    for (const { mesh } of this.pieces) ballFor(mesh.material as MeshPhysicalMaterial);
    const metal = this.pieces.reduce((sum, piece) => sum + trianglesOf(piece.metal), 0);
    const all = this.stones.reduce((sum, { mesh }) => sum + trianglesOf(mesh.geometry) * mesh.count, metal);
    const shares = LEVELS.map((times) => (times * FEW) / all).filter((share) => share < MOSTLY);
    if (shares.length === 0) return;
    this.model.shapes.forEach((shape, i) => {
      const { geometry } = this.shapes[i]!;
      const gatherer = new Gatherer(shape);
      const plain = shares.map((share) => gemGeometry(gatherer.to(Math.max(share * trianglesOf(geometry), PLAINEST))));
      for (const way of [...plain, geometry]) standFor(geometry, { geometry: way, blocks: null });
    });
    const gatherers = new Map<Piece, Gatherer>();
    for (const share of shares) {
      for (const piece of this.pieces) {
        yield;
        const gatherer = gatherers.get(piece) ?? new Gatherer(piece.casting);
        gatherers.set(piece, gatherer);
        const gathered = gatherer.to(share * trianglesOf(piece.metal));
        const { geometry, from } = metalGeometry(gathered, CREASE);
        this.stand(piece, { geometry, from: from.map((v) => gathered.from[v]!) });
      }
    }
    for (const [piece, { order }] of gatherers) {
      yield;
      this.stand(piece, { geometry: reordered(piece.metal, order), from: piece.from });
    }
  }

  dispose(): void {
    this.cut.clear();
    for (const piece of this.pieces) {
      piece.metal.dispose();
      piece.wall?.dispose();
      (piece.mesh.material as MeshPhysicalMaterial).dispose();
    }
    for (const child of this.twin?.children ?? []) {
      if (child instanceof InstancedMesh) child.dispose();
    }
    for (const { mesh } of this.stones) {
      mesh.geometry.dispose();
      (mesh.material as Material).dispose();
      mesh.dispose();
    }
  }

  /** The other ear: the same geometry, materials and places once more. */
  private second(): Group {
    const twin = new Group();
    twin.matrixAutoUpdate = false;
    for (const { mesh } of [...this.pieces, ...this.stones]) {
      let copy = new Mesh(mesh.geometry, mesh.material);
      if (mesh instanceof InstancedMesh) {
        const many = new InstancedMesh(mesh.geometry, mesh.material, mesh.count);
        many.instanceMatrix = mesh.instanceMatrix;
        copy = many;
      }
      copy.userData.like = mesh;
      twin.add(copy);
    }
    this.twin = twin;
    return twin;
  }

  /** Gives a piece one more stand-in. */
  private stand(piece: Piece, plain: MetalGeometry): void {
    piece.plain.push(plain);
    standFor(piece.metal, inBlocks(plain.geometry));
    if (this.walls) this.paint(this.walls);
  }

  private welcome(casting: string): boolean {
    return this.shown.casting === "" || casting === "" || casting === this.shown.casting;
  }

  /** Gives the cut the bodies to close. */
  private face(): void {
    this.cut.clear();
    let order = FIRST_FACE;
    for (const { casting, mesh, color } of this.pieces) {
      const fill = color.clone().lerp(new Color(0.93, 0.88, 0.78), 0.35);
      this.cut.add(mesh.geometry, null, fill, true, order++, { stone: false, casting: casting.name });
    }
    for (const { mesh, color, casting } of this.stones) {
      this.cut.add(mesh.geometry, mesh, color, false, order++, { stone: true, casting });
    }
  }
}
