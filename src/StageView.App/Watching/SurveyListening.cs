using StageView.App.Printing;
using StageView.Show;
using StageView.Show.Questions;
using StageView.Show.Survey;
using StageView.Stage.Survey;

namespace StageView.App.Watching;

/// <summary>A survey whose pan and tilt are taken from the network, a sighting at each press of Enter.</summary>
internal static class SurveyListening
{
    /// <param name="asked">What is asked.</param>
    /// <param name="keep">The marks file that gets what was taken.</param>
    /// <param name="stop">Cancelled by Ctrl+C; what was taken is kept.</param>
    public static async Task<SurveyAnswer> Answer(SurveyAsked asked, string keep, CancellationToken stop)
    {
        var opened = SurveyQuestion.Open(asked, Tell.Note);
        if (File.Exists(keep))
        {
            throw StopException.Wrong($"--keep {keep}: that exists; name another file or remove it");
        }

        if (opened.Marks.Sightings.FirstOrDefault(s => s.Time.Length > 0) is { } timed)
        {
            throw StopException.Wrong($"{timed.Place}: \"time\" is for what is taken from a capture; leave it out to take it from the network");
        }

        using var heads = new ListenedHeads(opened.Rig);
        foreach (var note in heads.Notes)
        {
            Tell.Note(note);
        }

        await Console.Error.WriteLineAsync(EyeCaution.Text).ConfigureAwait(false);
        var (used, taken) = (new List<UsedSighting>(), new List<UsedSighting>());
        foreach (var s in opened.Marks.Sightings)
        {
            if (s.Read is { } read)
            {
                used.Add(new UsedSighting(s, read.Pan, read.Tilt));
            }
            else if (await Take(heads, s, stop).ConfigureAwait(false) is { } one)
            {
                used.Add(one);
                taken.Add(one);
                await File.WriteAllBytesAsync(keep, MarksFile.WithAngles(opened.Text, taken.Select(t => (t.Sighting, t.Pan, t.Tilt))), stop)
                    .ConfigureAwait(false);
            }
        }

        return SurveyQuestion.Answer(opened, used, asked.Spread);
    }

    private static async Task<UsedSighting?> Take(ListenedHeads heads, Sighting s, CancellationToken stop)
    {
        while (true)
        {
            await Console.Error.WriteAsync($"{s.Fixture.Name} on {s.Mark}: put the middle of its beam there, then Enter (- and Enter leaves it out): ")
                .ConfigureAwait(false);
            var typed = await Task.Run(Console.In.ReadLine, CancellationToken.None).WaitAsync(stop).ConfigureAwait(false)
                ?? throw StopException.Wrong($"the input ended before {s.Fixture.Name} on {s.Mark}; what was taken is kept");
            if (typed.Trim() == "-")
            {
                return null;
            }

            if (heads.TryRead(s, out var used, out var why))
            {
                await Console.Error.WriteLineAsync($"  pan {Texts.F(used!.Pan, "0.00")}, tilt {Texts.F(used.Tilt, "0.00")}").ConfigureAwait(false);
                return used;
            }

            await Console.Error.WriteLineAsync($"  not taken: {why}").ConfigureAwait(false);
        }
    }
}
