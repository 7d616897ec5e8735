using StageView.Rig.Sheets;
using StageView.Show;

namespace StageView.App.Asking;

/// <summary>Asks for a data sheet, question by question.</summary>
internal sealed class SheetInterview(TextReader from, TextWriter to)
{
    /// <param name="reader">Takes the answers.</param>
    /// <param name="isGiven">Questions that are answered already.</param>
    /// <exception cref="StopException">The input ended before the last question.</exception>
    public void Ask(SheetReader reader, Func<string, bool> isGiven)
    {
        to.WriteLine("An empty answer takes what stands in brackets. Behind an @ you may say where the sheet says it: 12000 @ p. 3");
        foreach (var q in SheetQuestion.All.Where(q => !isGiven(q.Key)))
        {
            while (true)
            {
                to.Write($"{q.Ask}, such as {q.Example} [{q.Else}]: ");
                var answer = from.ReadLine() ?? throw StopException.Wrong($"the input ended at: {q.Ask}");
                if (answer.Trim().Length == 0 && q.Key == "lumens" && !reader.Has("photometry"))
                {
                    to.WriteLine("how much light it gives is needed, as no photometric file says it");
                    continue;
                }

                if (answer.Trim().Length == 0)
                {
                    break;
                }

                if (reader.TryAnswer(q.Key, answer, out var why))
                {
                    break;
                }

                to.WriteLine(why);
            }
        }
    }
}
