// A model made into things to draw: castings, stones, and what a cut needs.
import { Color, Group, type InstancedMesh, type Material, Mesh, type MeshPhysicalMaterial } from "three";
import type { Casting, Model, Walls } from "../wire/container";
import type { Cut } from "./cut";
import { gemColor, gemShape, gems } from "./gems";
import { metalGeometry, metalMaterial } from "./metal";
import { colorWalls } from "./walls";

interface Piece {
  casting: Casting;
  mesh: Mesh;
  from: Uint32Array;
  color: Color;
}

/** What is shown of an exhibit. */
export interface Shown {
  stones: boolean;
  /** Name of the only casting shown; "" for all. */
  casting: string;
}

/** Bodies are cut one after the other, each a whole number in drawing order. */
const FIRST_FACE = 1;

export class Exhibit {
  readonly group = new Group();
  private readonly pieces: Piece[] = [];
  private readonly stones: { mesh: InstancedMesh; color: Color; casting: string }[] = [];
  private shown: Shown = { stones: true, casting: "" };

  constructor(
    readonly model: Model,
    private readonly cut: Cut,
  ) {
    for (const casting of model.castings) {
      const { geometry, from } = metalGeometry(casting);
      const material = metalMaterial(casting, cut.planes);
      const mesh = new Mesh(geometry, material);
      this.pieces.push({ casting, mesh, from, color: material.color.clone() });
      this.group.add(mesh);
    }
    const shapes = model.shapes.map(gemShape);
    for (const lot of model.stones) {
      const mesh = gems(lot, shapes[lot.shape]!, cut.planes);
      const casting = lot.casting === undefined ? "" : (model.castings[lot.casting]?.name ?? "");
      this.stones.push({ mesh, color: gemColor(lot), casting });
      this.group.add(mesh);
    }
    this.face();
  }

  /** Castings that are shown now. */
  get visible(): Casting[] {
    return this.pieces.filter((piece) => piece.mesh.visible).map((piece) => piece.casting);
  }

  show(shown: Shown): void {
    this.shown = shown;
    for (const piece of this.pieces) piece.mesh.visible = this.welcome(piece.casting.name);
    for (const lot of this.stones) lot.mesh.visible = shown.stones && this.welcome(lot.casting);
    this.cut.filter((tag) => {
      const { stone, casting } = tag as { stone: boolean; casting: string };
      return (!stone || shown.stones) && this.welcome(casting);
    });
  }

  /** Colours walls by their thickness; null: metal again. */
  paint(walls: Walls | null): void {
    this.pieces.forEach((piece, i) => {
      const thickness = walls?.thickness[i];
      const material = piece.mesh.material as MeshPhysicalMaterial;
      if (thickness && walls) colorWalls(piece.mesh.geometry, piece.from, thickness, walls.limit, walls.top);
      material.vertexColors = !!thickness;
      material.metalness = thickness ? 0 : 1;
      material.roughness = thickness ? 0.75 : Math.max(piece.casting.roughness, 0.12);
      if (thickness) material.color.set(0xffffff);
      else material.color.copy(piece.color);
      material.needsUpdate = true;
    });
  }

  dispose(): void {
    this.cut.clear();
    for (const piece of this.pieces) {
      piece.mesh.geometry.dispose();
      (piece.mesh.material as MeshPhysicalMaterial).dispose();
    }
    for (const { mesh } of this.stones) {
      mesh.geometry.dispose();
      (mesh.material as Material).dispose();
      mesh.dispose();
    }
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
