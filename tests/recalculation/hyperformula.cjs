// Works out workbooks with HyperFormula, an engine made for the web: a job a line in, the values a line out, JSON.
const { HyperFormula } = require("hyperformula");
const lines = require("readline").createInterface({ input: process.stdin });

const shown = (value) => (value !== null && typeof value === "object" ? { error: value.value } : value);

lines.on("line", (line) => {
  const job = JSON.parse(line);
  const names = Object.entries(job.names).map(([name, expression]) => ({ name, expression }));
  const book = HyperFormula.buildFromSheets(job.sheets, { licenseKey: "gpl-v3" }, names);
  const at = (cell) => book.simpleCellAddressFromString(cell, 0);
  const values = job.fillings.map((filling) => {
    for (const [cell, typed] of Object.entries(filling)) book.setCellContents(at(cell), [[typed]]);
    return job.wanted.map((cell) => shown(book.getCellValue(at(cell))));
  });
  console.log(JSON.stringify(values));
  book.destroy();
});
