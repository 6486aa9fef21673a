// Asks manifold-3d what it thinks of the meshes of files and prints one JSON
// array: for each file an array, an element a mesh: node judge.mjs FILE...
//
// status is "NoError" for a closed, oriented two-manifold mesh; the measures
// stand beside it then. bodies counts connected surfaces (a void is one).
import Module from 'manifold-3d';
import { readMeshes } from './read.mjs';

const wasm = await Module();
wasm.setup();
const judge = ({ name, vertices, triangles }) => {
  try {
    const mesh = new wasm.Mesh({ numProp: 3, vertProperties: vertices, triVerts: triangles });
    const solid = new wasm.Manifold(mesh);
    return {
      name,
      status: String(solid.status()),
      volume: solid.volume(),
      area: solid.surfaceArea(),
      genus: solid.genus(),
      bodies: solid.decompose().length,
      triangles: solid.numTri(),
    };
  } catch (e) {
    return { name, status: String(e.code || e.message || e) };
  }
};
console.log(JSON.stringify(process.argv.slice(2).map((path) => readMeshes(path).map(judge))));
