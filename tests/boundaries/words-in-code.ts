import ts from 'typescript';

/** A text that people would read, found in code instead of in the catalogue. */
export type Found = { readonly line: number; readonly text: string };

// What these say is read by people or spoken to them.
const SHOWN_ATTRIBUTES = new Set(['title', 'aria-label', 'aria-description', 'aria-valuetext', 'placeholder', 'alt', 'label', 'help', 'lead', 'empty', 'words', 'text', 'caption', 'summary', 'problem', 'busyWords', 'unit', 'suggestions', 'hint', 'note', 'about']);
const SHOWN_PROPERTIES = new Set(['title', 'label', 'words', 'help', 'lead', 'placeholder', 'empty', 'caption', 'summary', 'hint', 'note', 'detail']);
const SHOWN_CALLS = new Set(['toast', 'alert', 'confirm', 'Error', 'TypeError', 'RangeError', 'setProblem', 'setError', 'setWords', 'setTold', 'Notification']);
// Attributes and properties of the machine: classes, outlines, keys, addresses.
const CODE_ATTRIBUTES = new Set(['className', 'd', 'viewBox', 'points', 'transform', 'preserveAspectRatio', 'style', 'key', 'role', 'aria-keyshortcuts', 'sizes', 'accept', 'name', 'id', 'to', 'href', 'shape', 'tone', 'kind', 'cell', 'of', 'rowKey', 'type']);
const CODE_CALLS = /^(phrase|listWords|useMay|isProblem|import|keyOf|keysOf|readDraft|keepDraft|dropDraft|useTold|.*\.(get|has|startsWith|endsWith|includes|setItem|getItem|querySelector|closest|setRequestHeader|addEventListener|removeEventListener|warn|replace|replaceAll|split|matchMedia))$/;

// Symbols of units are the same in every language (SI brochure, 5.2: symbols, not abbreviations).
const SYMBOLS = /^(h|min|s|d|ms|km|m|mi|ft|cm|mm|Ah|mAh|A|mA|V|W|Hz|dB|dBm|°C|°F|°|bit|kB|MB|GB|CSV|PDF|HEIC|JPEG|PNG|QR|kWh)$/;
const hasWords = (text: string) => text.split(/[^\p{L}°]+/u).some((word) => word !== '' && !SYMBOLS.test(word));
const isProse = (text: string) => (/\p{L}[,.:;]? +\p{L}/u.test(text) || /^\s+\p{Ll}{2,}/u.test(text)) && hasWords(text);

type Place = 'shown' | 'code' | 'somewhere';

const isPhrase = (node: ts.Node) => ts.isCallExpression(node) && node.expression.getText() === 'phrase';

/** Where a literal ends up, as far as its own file tells: read upward through conditions, joins and templates. */
function placeOf(literal: ts.Node): Place {
  for (let node = literal, parent = node.parent; parent !== undefined; node = parent, parent = node.parent) {
    if (ts.isJsxAttribute(parent)) return SHOWN_ATTRIBUTES.has(parent.name.getText()) ? 'shown' : CODE_ATTRIBUTES.has(parent.name.getText()) ? 'code' : 'somewhere';
    if (ts.isJsxExpression(parent) && !ts.isJsxAttribute(parent.parent)) return 'shown';
    if (ts.isPropertyAssignment(parent) && parent.initializer === node && isPhrase(parent.parent.parent)) return 'shown';
    if (ts.isPropertyAssignment(parent)) return parent.initializer !== node ? 'code' : SHOWN_PROPERTIES.has(parent.name.getText()) ? 'shown' : 'somewhere';
    if (ts.isCallExpression(parent) || ts.isNewExpression(parent)) {
      const called = parent.expression.getText();
      if (called === 'DOMException' ? parent.arguments?.[0] === node : SHOWN_CALLS.has(called)) return 'shown';
      if (called === 'DOMException') return 'code';
      if (parent.expression === node) return 'somewhere';
      if (/\.(join|filter|map|concat|with)$/.test(called)) continue;
      return CODE_CALLS.test(called) ? 'code' : 'somewhere';
    }
    if (ts.isBinaryExpression(parent) && /^(===?|!==?|in|instanceof)$/.test(parent.operatorToken.getText())) return 'code';
    if (ts.isElementAccessExpression(parent) || ts.isLiteralTypeNode(parent) || ts.isCaseClause(parent) || ts.isImportDeclaration(parent) || ts.isExportDeclaration(parent) || ts.isBindingElement(parent)) return 'code';
    if (ts.isConditionalExpression(parent) && parent.condition === node) return 'code';
    if (ts.isVariableDeclaration(parent)) return SHOWN_PROPERTIES.has(parent.name.getText()) ? 'shown' : 'somewhere';
    if (ts.isFunctionLike(parent) || ts.isStatement(parent)) return 'somewhere';
  }
  return 'somewhere';
}

/** The texts of a source that people would read: JSX text, literals that are shown, and prose wherever it stands. */
export function wordsInCode(file: string, source: string): Found[] {
  const parsed = ts.createSourceFile(file, source, ts.ScriptTarget.Latest, true, file.endsWith('x') ? ts.ScriptKind.TSX : ts.ScriptKind.TS);
  const found: Found[] = [];
  const look = (node: ts.Node): void => {
    const isText = ts.isJsxText(node);
    if (isText || ts.isStringLiteralLike(node) || ts.isTemplateHead(node) || ts.isTemplateMiddle(node) || ts.isTemplateTail(node)) {
      const place = isText ? 'shown' : placeOf(node);
      if (place === 'shown' ? hasWords(node.text) : place === 'somewhere' && isProse(node.text)) {
        found.push({ line: parsed.getLineAndCharacterOfPosition(node.getStart()).line + 1, text: node.text.trim() });
      }
    }
    ts.forEachChild(node, look);
  };
  look(parsed);
  return found;
}
