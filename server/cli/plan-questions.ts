/** `lowdew plan dry | lie-out | store | fit`: the planner's questions, each blank an option with its limits. */
import type { Command } from 'commander';
import { PLAN_FIELDS, type PlanField, type PlanKind } from '../plan-fields.ts';
import { answerPlan } from '../planner/answer.ts';
import { readQuestion } from '../planner/read-question.ts';
import { describePlan } from './describe-plan.ts';
import { oneOf } from './options.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';

const ASKED: readonly (readonly [kind: Exclude<PlanKind, 'air'>, description: string])[] = [
  ['dry', 'when a spool is dry in a box that nobody has measured yet'],
  ['lie-out', 'how long a dry spool may lie in open air'],
  ['store', 'how long a bag with desiccant keeps a spool under its limit'],
  ['fit', 'how much a printed part grows with the water it takes up'],
];

/** netMassG → net-mass-g */
const flagOf = (field: string): string => field.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);

function saysOf(field: PlanField): string {
  if (field.kind === 'choice') return `${field.name}: ${field.options.join(', ')} (usual: ${field.usual})`;
  if (field.kind === 'material') return `key of the materials table (usual: ${field.usual})`;
  const usual = field.usual === null ? 'else by the materials table' : `usual: ${field.usual}`;
  return `${field.name}, ${field.low} to ${field.high} ${field.unit} (${usual})`;
}

export function addPlanCommands(plan: Command, terminal: Terminal, finish: (code: ExitCode) => void): void {
  for (const [kind, description] of ASKED) {
    const command = plan.command(kind).description(description);
    for (const [name, field] of Object.entries<PlanField>(PLAN_FIELDS[kind]))
      command.option(`--${flagOf(name)} <${field.kind === 'number' ? 'number' : 'name'}>`, saysOf(field));
    command
      .option('--format <format>', 'text or json', oneOf(['text', 'json']), 'text' as const)
      .action((options: Readonly<Record<string, string>>) => {
        const { format, ...raw } = options;
        const read = readQuestion(kind, raw);
        if (!read.ok) {
          for (const { field, detail } of read.mistakes) terminal.err(`--${flagOf(field)}: ${detail}`);
          return finish(EXIT.badBenchOrOption);
        }
        const answer = answerPlan(read.question);
        terminal.out(format === 'json' ? JSON.stringify(answer) : describePlan(answer));
        finish(EXIT.fine);
      });
  }
}
