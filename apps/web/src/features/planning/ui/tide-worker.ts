import { answerTide, type TideQuestion } from './tide-model.js';

/** The forecast is played beside the page, so that it stays quick to the hand. */
self.onmessage = (event: MessageEvent<{ id: number; question: TideQuestion }>) => {
  const { id, question } = event.data;
  try {
    self.postMessage({ id, answer: answerTide(question) });
  } catch (error) {
    self.postMessage({ id, fault: (error as Error).message });
  }
};
