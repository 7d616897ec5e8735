// Reads CI workflows as their own language service does, and says what is wrong: node --experimental-loader ./json.mjs workflow.mjs FILE...
import { readFileSync } from "node:fs";
import { parseWorkflow, NoOperationTraceWriter, convertWorkflowTemplate } from "@actions/workflow-parser";

let wrong = 0;
for (const name of process.argv.slice(2)) {
  const { context, value } = parseWorkflow({ name, content: readFileSync(name, "utf8") }, new NoOperationTraceWriter());
  const made = value && await convertWorkflowTemplate(context, value);
  const errors = [...new Set([...context.errors.getErrors(), ...(made?.errors ?? [])].map(e => e.message ?? e.Message ?? String(e)))];
  for (const error of errors) console.log(error);
  wrong += errors.length;
  console.log(`${made?.jobs?.length ?? 0} jobs, ${errors.length} errors`);
}
process.exitCode = wrong > 0 ? 1 : 0;
