import tseslint from 'typescript-eslint';

const CLOCK = 'Pure code reads no clock: take `now` or a local date as an argument.';
const SEED = 'Pure code draws no randomness: take a seeded generator as an argument.';
const LOCAL = "Date's local-time API depends on the machine's zone: use the branded local date, or UTC methods.";

export default [
  { ignores: ['**/dist/**', '**/generated/**', '**/node_modules/**', 'output/**'] },
  {
    files: ['**/*.{ts,tsx}'],
    languageOptions: { parser: tseslint.parser },
    plugins: { '@typescript-eslint': tseslint.plugin },
    linterOptions: { reportUnusedDisableDirectives: 'error' },
    rules: {
      'no-debugger': 'error',
      'no-unreachable': 'error',
      'no-dupe-keys': 'error',
      'no-self-compare': 'error',
      'no-constant-binary-expression': 'error',
      eqeqeq: ['error', 'always', { null: 'ignore' }],
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_', caughtErrors: 'none', ignoreRestSiblings: true }],
      '@typescript-eslint/no-explicit-any': 'error',
    },
  },
  {
    files: ['packages/{recurrence,acceptance,risk,planning,signals,proof,programmes,contracts,operations}/src/**/*.ts'],
    ignores: ['**/*.{spec,test,bench}.ts'],
    rules: { 'no-restricted-syntax': ['error',
      { selector: "NewExpression[callee.name='Date'][arguments.length=0]", message: CLOCK },
      { selector: "CallExpression[callee.name='Date']", message: CLOCK },
      { selector: "MemberExpression[object.name='Date'][property.name='now']", message: CLOCK },
      { selector: "MemberExpression[object.name='Temporal'][property.name='Now']", message: CLOCK },
      { selector: "MemberExpression[object.name='performance']", message: CLOCK },
      { selector: "MemberExpression[object.name='Math'][property.name='random']", message: SEED },
      { selector: "MemberExpression[object.name='crypto']", message: SEED },
      { selector: "NewExpression[callee.name='Date'][arguments.length>1]", message: LOCAL },
      { selector: "CallExpression > MemberExpression.callee[property.name=/^(get|set)(FullYear|Month|Date|Day|Hours|Minutes|Seconds|Milliseconds|TimezoneOffset)$/]", message: LOCAL },
    ] },
  },
  {
    files: ['**/*.spec.{ts,tsx}'],
    rules: { 'no-restricted-syntax': ['error',
      { selector: "MemberExpression[object.name=/^(it|test|describe)$/][property.name=/^(skip|only|todo)$/]", message: 'No skipped or lonely tests.' },
      { selector: "CallExpression[callee.name='expect'][arguments.0.value=true]", message: 'A test that cannot fail is a defect.' },
    ] },
  },
];
