import eslint from '@eslint/js';
import { defineConfig } from 'eslint/config';
import prettier from 'eslint-config-prettier';
import tseslint from 'typescript-eslint';

export default defineConfig(
  { ignores: ['dist', 'coverage', 'docs/site', 'src/**/*.assembly.ts', '.dependency-cruiser.cjs'] },
  eslint.configs.recommended,
  tseslint.configs.strictTypeChecked,
  tseslint.configs.stylisticTypeChecked,
  {
    languageOptions: {
      parserOptions: {
        projectService: { allowDefaultProject: ['eslint.config.js'] },
        tsconfigRootDir: import.meta.dirname,
      },
    },
    rules: {
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      '@typescript-eslint/no-non-null-assertion': 'error',
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/no-unnecessary-condition': ['error', { allowConstantLoopConditions: true }],
      // `{ left, ...rest }` is how a property is left out.
      '@typescript-eslint/no-unused-vars': ['error', { ignoreRestSiblings: true }],
      '@typescript-eslint/prefer-for-of': 'off',
      // `Identity | 'unknown'` tells a reader more than `string` does.
      '@typescript-eslint/no-redundant-type-constituents': 'off',
      eqeqeq: 'error',
    },
  },
  {
    files: ['tests/**/*.ts'],
    ignores: ['tests/bench/**'],
    rules: {
      'no-restricted-imports': [
        'error',
        {
          patterns: [
            {
              regex: '^(\\.\\./)+bench/',
              message: 'What tests and benchmarks share stands in tests/scenes.',
            },
          ],
        },
      ],
    },
  },
  prettier,
);
