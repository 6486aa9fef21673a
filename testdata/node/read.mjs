// Reads meshes from binary STL, from 3MF, and from the plain form that
// build.mjs writes, without any code shared with the Go readers.
//
// The plain form (.mesh), all little-endian: two uint32, the numbers of
// vertices and triangles; three float32 a vertex; three uint32 a triangle.
import fs from 'node:fs';
import zlib from 'node:zlib';

// readMeshes returns [{name, vertices: Float32Array, triangles: Uint32Array}].
export function readMeshes(path) {
  const buf = fs.readFileSync(path);
  if (path.endsWith('.stl')) return [readSTL(buf)];
  if (path.endsWith('.3mf')) return read3MF(buf);
  return [readPlain(buf)];
}

// readSTL welds corners with identical coordinates.
function readSTL(buf) {
  const count = buf.readUInt32LE(80);
  if (buf.length !== 84 + 50 * count) throw new Error(`size ${buf.length} is not that of ${count} triangles`);
  const index = new Map();
  const vertices = [];
  const triangles = new Uint32Array(3 * count);
  for (let i = 0; i < 3 * count; i++) {
    const at = 84 + 50 * Math.floor(i / 3) + 12 + 12 * (i % 3);
    const p = [0, 4, 8].map((o) => buf.readFloatLE(at + o) + 0);
    const key = p.join();
    if (!index.has(key)) {
      index.set(key, index.size);
      vertices.push(...p);
    }
    triangles[i] = index.get(key);
  }
  return { name: '', vertices: new Float32Array(vertices), triangles };
}

// read3MF reads the objects of the model part in their own coordinates.
function read3MF(buf) {
  const xml = unzip(buf).find((f) => f.name.toLowerCase().endsWith('.model')).data.toString('utf8');
  const attr = (s, name) => (s.match(new RegExp(`\\s${name}="([^"]*)"`)) || [])[1];
  return [...xml.matchAll(/<object\b([^>]*)>(.*?)<\/object>/gs)].map(([, head, body]) => ({
    name: attr(head, 'name') || '',
    vertices: Float32Array.from(
      [...body.matchAll(/<vertex x="([^"]*)" y="([^"]*)" z="([^"]*)"/g)].flatMap((m) => [+m[1], +m[2], +m[3]])),
    triangles: Uint32Array.from(
      [...body.matchAll(/<triangle v1="([^"]*)" v2="([^"]*)" v3="([^"]*)"/g)].flatMap((m) => [+m[1], +m[2], +m[3]])),
  }));
}

// unzip returns the files of an archive by its central directory.
function unzip(buf) {
  const end = buf.lastIndexOf(Buffer.from('PK\x05\x06', 'latin1'));
  const files = [];
  let at = buf.readUInt32LE(end + 16);
  for (let n = buf.readUInt16LE(end + 10); n > 0; n--) {
    const [method, size, nameLen, extraLen, noteLen, local] = [
      buf.readUInt16LE(at + 10), buf.readUInt32LE(at + 20), buf.readUInt16LE(at + 28),
      buf.readUInt16LE(at + 30), buf.readUInt16LE(at + 32), buf.readUInt32LE(at + 42)];
    const name = buf.toString('utf8', at + 46, at + 46 + nameLen);
    const from = local + 30 + buf.readUInt16LE(local + 26) + buf.readUInt16LE(local + 28);
    const raw = buf.subarray(from, from + size);
    files.push({ name, data: method === 0 ? raw : zlib.inflateRawSync(raw) });
    at += 46 + nameLen + extraLen + noteLen;
  }
  return files;
}

function readPlain(buf) {
  const [nv, nt] = [buf.readUInt32LE(0), buf.readUInt32LE(4)];
  const bytes = new Uint8Array(buf).buffer; // a copy, aligned
  return {
    name: '',
    vertices: new Float32Array(bytes, 8, 3 * nv),
    triangles: new Uint32Array(bytes, 8 + 12 * nv, 3 * nt),
  };
}

// writePlain writes the plain form.
export function writePlain(path, vertices, triangles) {
  const head = Uint32Array.of(vertices.length / 3, triangles.length / 3);
  const part = (a) => Buffer.from(a.buffer, a.byteOffset, a.byteLength);
  fs.writeFileSync(path, Buffer.concat([part(head), part(vertices), part(triangles)]));
}
