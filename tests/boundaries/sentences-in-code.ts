import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import ts from 'typescript';

const PACKAGES = join(import.meta.dirname, '..', '..', 'packages');
const isProse = (text: string) => /\p{L}[,.:;]? +\p{L}/u.test(text) || /^[ ,;:.]+\p{L}{2,}/u.test(text) || /\p{L} +$/u.test(text) || /^\p{L}+ /u.test(text);
// A citation names a document and stays as it is printed: its provenance stands in brackets.
const isCitation = (text: string) => /\b(SEEN-[A-Z]|MEM\b)|from memory$/.test(text);

/** The shape of a literal: what is computed stands as {1}, {2}, ... in its order. */
function shapeOf(node: ts.Node): string | null {
  if (ts.isTemplateExpression(node)) return node.head.text + node.templateSpans.map((span, at) => `{${at + 1}}${span.literal.text}`).join('');
  return ts.isStringLiteralLike(node) ? node.text : null;
}

/** What only a developer reads: types, imports, faults that are thrown, what is compared. */
function isForPeople(node: ts.Node, thrown: ReadonlySet<string>): boolean {
  for (let at = node, up = node.parent; up !== undefined && !ts.isStatement(up); at = up, up = up.parent) {
    if (ts.isLiteralTypeNode(up) || ts.isImportDeclaration(up) || ts.isElementAccessExpression(up) && up.argumentExpression === at) return false;
    if (ts.isNewExpression(up)) return thrown.has(up.expression.getText());
    if (ts.isBinaryExpression(up) && /^(===?|!==?|in)$/.test(up.operatorToken.getText())) return false;
    if (ts.isConditionalExpression(up) && up.condition === at) return false;
    if (ts.isPropertyAssignment(up) && up.initializer !== at) return false;
  }
  return !ts.isImportDeclaration(node.parent) && !ts.isExportDeclaration(node.parent);
}

const isInTemplate = (node: ts.Node): boolean => {
  for (let at = node, up = node.parent; up !== undefined && !ts.isStatement(up); at = up, up = up.parent) {
    if (ts.isTemplateSpan(up)) return true;
    if (ts.isCallExpression(up) && !up.arguments.includes(at as ts.Expression) === false && !/\.(join|map)$/.test(up.expression.getText())) return false;
  }
  return false;
};

/** Every sentence, and every piece of one, that the sources of a package write for people. `thrown`: faults whose words people read. */
export function sentencesOf(name: string, thrown: ReadonlySet<string> = new Set(), among: RegExp = /\.ts$/): string[] {
  const found = new Set<string>();
  const root = join(PACKAGES, name, 'src');
  for (const one of readdirSync(root, { recursive: true, withFileTypes: true })) {
    const file = join(one.parentPath, one.name);
    if (!one.isFile() || !one.name.endsWith('.ts') || one.name.endsWith('.spec.ts') || !among.test(file)) continue;
    const parsed = ts.createSourceFile(file, readFileSync(file, 'utf8'), ts.ScriptTarget.Latest, true);
    const look = (node: ts.Node): void => {
      const shape = shapeOf(node);
      if (shape !== null && isForPeople(node, thrown) && !isCitation(shape)) {
        const bare = shape.replaceAll(/\{\d+\}/g, ' ');
        if (/\p{L}{2}/u.test(bare) && !/^select \d/.test(bare) && (isProse(bare) || (ts.isStringLiteralLike(node) && /^\p{L}+$/u.test(shape) && isInTemplate(node)))) found.add(shape);
      }
      ts.forEachChild(node, look);
    };
    look(parsed);
  }
  return [...found].toSorted();
}

/** What refusals say: the words given to `new Refusal(...)`, the messages of fields, and what schemas say is accepted. */
export function refusalsOf(): string[] {
  const found = new Set<string>();
  const roots = [join(PACKAGES, 'operations', 'src'), join(PACKAGES, 'contracts', 'src'), join(PACKAGES, '..', 'apps', 'api', 'src')];
  for (const file of roots.flatMap((root) => readdirSync(root, { recursive: true, withFileTypes: true }).filter((one) => one.isFile() && one.name.endsWith('.ts') && !/\.spec\.ts$|settings\.ts$/.test(one.name)).map((one) => join(one.parentPath, one.name)))) {
    const parsed = ts.createSourceFile(file, readFileSync(file, 'utf8'), ts.ScriptTarget.Latest, true);
    const isPlain = file.endsWith('plain-faults.ts');
    const look = (node: ts.Node): void => {
      const shape = shapeOf(node);
      if (shape !== null && /\p{L}{2}/u.test(shape.replaceAll(/\{\d+\}/g, ''))) {
        const isMessage = /^(must|is|has|holds|needs|gives|lies|begins|names) /.test(shape) && /contracts/.test(file);
        if (isMessage || isRefused(node) || isPlain && /^(must|is|has|a |an |yes or|text$)/.test(shape)) found.add(shape);
      }
      ts.forEachChild(node, look);
    };
    look(parsed);
  }
  return [...found].toSorted();
}

function isRefused(node: ts.Node): boolean {
  for (let at = node, up = node.parent; up !== undefined && !ts.isStatement(up); at = up, up = up.parent) {
    if (ts.isBinaryExpression(up) && /^(===?|!==?)$/.test(up.operatorToken.getText()) || ts.isElementAccessExpression(up)) return false;
    if (ts.isPropertyAssignment(up) && up.name.getText() !== 'message') return false;
    if (ts.isNewExpression(up)) return up.expression.getText() === 'Refusal' && up.arguments?.[0] !== at && isWords(node);
    if (ts.isCallExpression(up) && up.arguments.includes(at as ts.Expression)) return false;
  }
  return false;
}

const isWords = (node: ts.Node): boolean => /\p{L} +\p{L}|^ /u.test(shapeOf(node)!.replaceAll(/\{\d+\}/g, 'x')) || isInTemplate(node);
