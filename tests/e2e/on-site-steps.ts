import type { Page } from 'playwright-core';

// What a technician does on a visit's screen, as the tests of the field do it.

/** Chooses by keyboard, as somebody with gloves and a stylus would not, but a screen reader does. */
export async function answer(of: Page, group: string, choice: string): Promise<void> {
  await of.getByRole('group', { name: group }).getByRole('radio', { name: choice, exact: true }).focus();
  await of.keyboard.press('Space');
}

export async function startAndHold(of: Page, reference: string): Promise<void> {
  await of.getByRole('button', { name: 'Start visit' }).click();
  await of.getByRole('button', { name: 'Put the account on test' }).click();
  await of.getByLabel('Station’s reference').fill(reference);
  await of.getByLabel('Operator’s name').fill('Ines Porto');
  await of.getByRole('button', { name: 'The station confirmed: on test' }).click();
  await of.getByText(`reference ${reference}`).first().waitFor();
}

/** Opens the check of a subject in the list and answers its three questions. */
export async function actuate(of: Page, subject: RegExp, seen: 'Yes' | 'No'): Promise<void> {
  await of.getByRole('button', { name: subject }).first().click();
  for (const [group, choice] of [['Seen at the control unit', seen], ['Right zone', 'Yes'], ['Right text', 'Yes']] as const) await answer(of, group, choice);
}
