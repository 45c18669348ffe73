/** Options of the bench commands: --name value. Throws Error with what is accepted. */
export function readOptions(argv: readonly string[], defaults: Readonly<Record<string, string>>): { rest: string[]; options: Record<string, string> } {
  const options: Record<string, string> = { ...defaults };
  const rest: string[] = [];
  for (let i = 0; i < argv.length; i++) {
    const word = argv[i];
    if (!word.startsWith('--')) {
      rest.push(word);
      continue;
    }
    const name = word.slice(2);
    if (!(name in defaults)) throw new Error(`option ${word} is unknown; accepted are ${Object.keys(defaults).map((d) => `--${d}`).join(', ')}`);
    const value = argv[++i];
    if (value === undefined) throw new Error(`option ${word} needs a value`);
    options[name] = value;
  }
  return { rest, options };
}

export function positive(options: Record<string, string>, name: string): number {
  const value = Number(options[name]);
  if (!(value > 0)) throw new Error(`option --${name} is '${options[name]}', accepted is a number above 0`);
  return value;
}

/** Runs a command: '--help' prints how to use it, a fault its words on standard error and exit code 1. */
export async function runCommand(usage: string, main: () => Promise<void>): Promise<void> {
  if (process.argv.includes('--help')) {
    console.log(usage);
    return;
  }
  try {
    await main();
  } catch (fault) {
    console.error(fault instanceof Error ? fault.message : String(fault));
    console.error(usage);
    process.exitCode = 1;
  }
}
