// Validates the GLB files named on the command line with the Khronos glTF
// validator and prints one JSON object: file name -> counts and messages.
const fs = require("fs");
const validator = require("gltf-validator");

async function main() {
  const out = {};
  for (const file of process.argv.slice(2)) {
    const report = await validator.validateBytes(new Uint8Array(fs.readFileSync(file)), { maxIssues: 20 });
    out[file] = {
      errors: report.issues.numErrors,
      warnings: report.issues.numWarnings,
      messages: report.issues.messages.map((m) => `${m.code} ${m.pointer}: ${m.message}`),
      triangles: report.info.totalTriangleCount,
      animations: report.info.animationCount,
    };
  }
  console.log(JSON.stringify(out));
}

main();
