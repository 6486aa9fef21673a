// Builds the page into ../dist: index.html, app.js, app.css, favicon.svg.
// The names are fixed, since the server knows them. Run it after npm install.
import { copyFile, mkdir, rename, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const dist = join(here, "..", "dist");

const made = await build({
  absWorkingDir: here,
  entryPoints: { app: "src/main.ts" },
  outdir: dist,
  bundle: true,
  minify: true,
  format: "esm",
  target: "es2022",
  legalComments: "eof",
  write: false,
  logLevel: "warning",
});
const style = await build({
  absWorkingDir: here,
  entryPoints: { app: "style/sheet.css" },
  outdir: dist,
  bundle: true,
  minify: true,
  write: false,
  logLevel: "warning",
});

// Everything is written beside its place and renamed, so that a server that
// looks on meanwhile sees the old page or the new one, never half of it.
await mkdir(dist, { recursive: true });
for (const file of [...made.outputFiles, ...style.outputFiles]) {
  await writeFile(file.path + ".part", file.contents);
  await rename(file.path + ".part", file.path);
}
for (const name of ["favicon.svg", "index.html"]) {
  await copyFile(join(here, name), join(dist, name + ".part"));
  await rename(join(dist, name + ".part"), join(dist, name));
}
const bytes = made.outputFiles.reduce((sum, file) => sum + file.contents.length, 0);
console.error(`page built: app.js has ${Math.round(bytes / 1024)} kB`);
