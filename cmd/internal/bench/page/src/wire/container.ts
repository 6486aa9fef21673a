// Reads the binary containers of models and of wall thicknesses: four bytes of
// name, the length of a JSON header, the header, then little-endian buffers.

/** A stretch of a buffer: where it starts after the header, how many entries. */
interface Stretch {
  at: number;
  count: number;
}

/** Three indices for each of count triangles. */
interface Indices extends Stretch {
  /** 32 bits instead of 16. */
  wide: boolean;
}

interface ModelHeader {
  id: string;
  box: [number, number, number, number, number, number];
  castings: {
    name: string;
    color: [number, number, number];
    roughness: number;
    positions: Stretch;
    indices: Indices;
    owners: Stretch;
  }[];
  owners: Owner[];
  stones: {
    gem: string;
    color: [number, number, number];
    clear: boolean;
    shape: number;
    group: string;
    matrices: Stretch;
    first: number;
    casting?: number;
    numbers?: { index?: number };
  }[];
  shapes: { positions: Stretch; indices: Indices }[];
  twin?: number[];
}

interface WallsHeader {
  id: string;
  scale: Stop[];
  limits: string[] | null;
  box: [number, number, number, number, number, number];
  castings: { positions: Stretch; indices: Indices; shares: Stretch }[];
}

/** Whose metal it is, and where the recipe says so. */
export interface Owner {
  name: string;
  line: number;
  column: number;
}

/** A closed, indexed mesh in mm. */
export interface Mesh {
  positions: Float32Array;
  indices: Uint32Array;
}

export interface Casting extends Mesh {
  name: string;
  color: [number, number, number];
  roughness: number;
  /** One a triangle: index into Model.owners. */
  owners: Uint16Array;
}

/** Stones of one shape and gem; a matrix of 16 numbers for each. */
export interface Stones {
  gem: string;
  color: [number, number, number];
  clear: boolean;
  group: string;
  shape: number;
  /** The number of the first of them. */
  first: number;
  /** Index of the casting they sit in, if known. */
  casting: number | undefined;
  /** Of refraction. */
  index: number;
  matrices: Float32Array;
}

export interface Model {
  id: string;
  min: [number, number, number];
  max: [number, number, number];
  castings: Casting[];
  owners: Owner[];
  stones: Stones[];
  shapes: Mesh[];
  /** Takes all of it to the other ear of a pair, 16 numbers column by column. */
  twin: number[] | null;
}

/** A stop of the scale of wall colours: a share of what the house asks, and sRGB 0 to 255. */
export interface Stop {
  at: number;
  color: [number, number, number];
}

export interface Walls {
  id: string;
  scale: Stop[];
  /** What the house asks, mm, in words: "bezel 0.35". */
  limits: string[];
  castings: Wall[];
}

/** A casting in finer triangles; the model's vertices come first. */
export interface Wall extends Mesh {
  /** Of the thickness that the house asks, one a vertex; infinite where it is the end of the scale or more. */
  shares: Float32Array;
}

/** Opens a container; throws an Error when it has another name or is cut short. */
function open(bytes: ArrayBuffer, name: string): { header: unknown; base: number } {
  const view = new DataView(bytes);
  if (bytes.byteLength < 8) throw new Error(`container of ${bytes.byteLength} bytes is cut short`);
  const found = String.fromCharCode(...new Uint8Array(bytes, 0, 4));
  if (found !== name) throw new Error(`container is named "${found}" where "${name}" was asked for`);
  const length = view.getUint32(4, true);
  const header = JSON.parse(new TextDecoder().decode(new Uint8Array(bytes, 8, length)));
  return { header, base: 8 + length };
}

function readIndices(bytes: ArrayBuffer, base: number, from: Indices): Uint32Array {
  const count = 3 * from.count;
  return from.wide
    ? new Uint32Array(bytes, base + from.at, count)
    : Uint32Array.from(new Uint16Array(bytes, base + from.at, count));
}

/** Positions within a box: four 16-bit numbers a vertex, the last a filler. */
function readPositions(bytes: ArrayBuffer, base: number, from: Stretch, box: ModelHeader["box"]): Float32Array {
  const raw = new Uint16Array(bytes, base + from.at, from.count * 4);
  const positions = new Float32Array(from.count * 3);
  for (let axis = 0; axis < 3; axis++) {
    const scale = (box[3 + axis]! - box[axis]!) / 65535;
    for (let i = 0; i < from.count; i++) {
      positions[3 * i + axis] = box[axis]! + scale * raw[4 * i + axis]!;
    }
  }
  return positions;
}

/** Index of refraction where none is told: that of window glass. */
const GLASS = 1.52;

export function readModel(bytes: ArrayBuffer): Model {
  const opened = open(bytes, "WXM1");
  const header = opened.header as ModelHeader;
  const base = opened.base;
  const min = header.box.slice(0, 3) as [number, number, number];
  const max = header.box.slice(3, 6) as [number, number, number];

  const castings = header.castings.map((casting): Casting => {
    return {
      name: casting.name,
      color: casting.color,
      roughness: casting.roughness,
      positions: readPositions(bytes, base, casting.positions, header.box),
      indices: readIndices(bytes, base, casting.indices),
      owners: new Uint16Array(bytes, base + casting.owners.at, casting.owners.count),
    };
  });
  const stones = (header.stones ?? []).map((lot): Stones => ({
    gem: lot.gem,
    color: lot.color,
    clear: lot.clear,
    group: lot.group,
    shape: lot.shape,
    first: lot.first,
    casting: lot.casting,
    index: lot.numbers?.index || GLASS,
    matrices: new Float32Array(bytes, base + lot.matrices.at, lot.matrices.count * 16),
  }));
  const shapes = (header.shapes ?? []).map((shape): Mesh => ({
    positions: new Float32Array(bytes, base + shape.positions.at, shape.positions.count * 3),
    indices: readIndices(bytes, base, shape.indices),
  }));
  return { id: header.id, min, max, castings, owners: header.owners, stones, shapes, twin: header.twin ?? null };
}

/** Stands for "the end of the scale or more" in a container. */
const THICK = 65535;

export function readWalls(bytes: ArrayBuffer): Walls {
  const opened = open(bytes, "WXW1");
  const header = opened.header as WallsHeader;
  const base = opened.base;
  const castings = header.castings.map((casting): Wall => {
    const raw = new Uint16Array(bytes, base + casting.shares.at, casting.shares.count);
    return {
      positions: readPositions(bytes, base, casting.positions, header.box),
      indices: readIndices(bytes, base, casting.indices),
      shares: Float32Array.from(raw, (share) => (share === THICK ? Number.POSITIVE_INFINITY : share / 1000)),
    };
  });
  return { id: header.id, scale: header.scale, limits: header.limits ?? [], castings };
}
