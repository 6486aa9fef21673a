// Opens .3mf files with lib3mf in strict mode and prints what it finds as one
// JSON array, an element a file: node lib3mf.mjs FILE...
import fs from 'node:fs';
import lib3mf from '@3mfconsortium/lib3mf';

const lib = await lib3mf();
const wrapper = new lib.CWrapper();
console.log(JSON.stringify(process.argv.slice(2).map(open)));

function open(path) {
  const model = wrapper.CreateModel();
  const reader = model.QueryReader('3mf');
  lib.FS.writeFile('/in.3mf', fs.readFileSync(path));
  const out = { error: '', warnings: [], millimetres: false, objects: [], items: 0, materials: [], metadata: [], thumbnail: false };
  try {
    reader.SetStrictModeActive(true);
    reader.ReadFromFile('/in.3mf');
    for (let i = 0; i < reader.GetWarningCount(); i++) out.warnings.push(text(reader.GetWarning(i)));
    out.millimetres = model.GetUnit().value === 1; // eModelUnit::MilliMeter
    const meshes = model.GetMeshObjects();
    while (meshes.MoveNext()) {
      const o = meshes.GetCurrentMeshObject();
      const property = o.GetObjectLevelProperty();
      out.objects.push({
        name: o.GetName(),
        vertices: o.GetVertexCount(),
        triangles: o.GetTriangleCount(),
        manifold: o.IsManifoldAndOriented(),
        material: property.return ? property.PropertyID : 0, // counted from 1 in materials
      });
    }
    const items = model.GetBuildItems();
    while (items.MoveNext()) out.items++;
    const groups = model.GetBaseMaterialGroups();
    while (groups.MoveNext()) {
      const g = groups.GetCurrentBaseMaterialGroup();
      for (let i = 1; i <= g.GetCount(); i++) {
        const c = g.GetDisplayColor(i);
        out.materials.push({ name: g.GetName(i), rgba: [c.get_Red(), c.get_Green(), c.get_Blue(), c.get_Alpha()] });
      }
    }
    const facts = model.GetMetaDataGroup();
    for (let i = 0; i < facts.GetMetaDataCount(); i++) {
      const f = facts.GetMetaData(i);
      out.metadata.push({ space: f.GetNameSpace(), name: f.GetName(), value: f.GetValue() });
    }
    out.thumbnail = model.HasPackageThumbnailAttachment();
  } catch (e) {
    out.error = text(e);
  }
  return out;
}

function text(x) {
  return typeof x === 'object' && !(x instanceof Error) ? JSON.stringify(x) : String(x.message || x).slice(0, 300);
}
