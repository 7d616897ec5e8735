using System.CommandLine;
using System.Globalization;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Files;
using StageView.Show.Cues;
using StageView.Show.Rigs;
using StageView.Stage.Cues;

namespace StageView.App.Verbs;

/// <summary><c>stageview cues RIG CUES --out CAPTURE</c>: what a desk would send for a written show.</summary>
internal static class CuesVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var cues = new Argument<string>("CUES") { Description = "A cue file: what fixtures shall do when, in physical units." };
        var to = new Option<string?>("--out", "-o")
        {
            Description = "The capture to write (pcapng); without it the cues are checked and listed.", HelpName = "FILE",
        };
        var json = Verb.JsonOption();
        var command = new Command("cues", "Checks a written show, and writes the capture that a desk playing it would leave.") { rig, cues, venue, to, json };
        return command.Does(parse =>
        {
            var scene = RigFiles.Open(parse.GetValue(rig)!, parse.GetValue(venue), tell: Tell.Note);
            var show = CueCapture.Open(scene, parse.GetValue(cues)!, Tell.Note);
            if (parse.GetValue(to) is not { } file)
            {
                List(show, parse.GetValue(json));
                return Exit.Fine;
            }

            CueCaptureReport? report = null;
            WholeFile.Write(file, stream => report = CueCapture.Write(show, stream, Console.IsErrorRedirected ? null : at => Progress(at, show)));
            if (parse.GetValue(json))
            {
                Answers.WriteJson(new { file, seconds = show.Length.TotalSeconds, rate = show.Rate, packets = report!.Packets, bytes = report.Bytes });
                return Exit.Fine;
            }

            Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"{file}: {show.Length.TotalSeconds:0.#} s at {show.Rate} Hz, {report!.Packets} packets, {report.Bytes / 1e6:0.0} MB"));
            return Exit.Fine;
        });
    }

    private static void List(CuePlayer show, bool asJson)
    {
        if (asJson)
        {
            Answers.WriteJson(new
            {
                seconds = show.Length.TotalSeconds, rate = show.Rate, timecode = show.TimecodeStart.ToString(),
                cues = show.Cues.Select(c => new { name = c.Name, time = c.Seconds, note = c.Note }),
            });
            return;
        }

        Answers.Table(["time", "cue", "note"], show.Cues.Select(c => (string[])
        [
            c.Seconds.ToString("0.###", CultureInfo.InvariantCulture), c.Name.Length == 0 ? "·" : c.Name, c.Note,
        ]));
    }

    /// <summary>A line that is written over, once a second of the show.</summary>
    private static void Progress(TimeSpan at, CuePlayer show)
    {
        if (at.Ticks % TimeSpan.TicksPerSecond == 0)
        {
            Console.Error.Write(string.Create(CultureInfo.InvariantCulture, $"\r{at.TotalSeconds:0} of {show.Length.TotalSeconds:0} s "));
            if (at + TimeSpan.FromSeconds(1) > show.Length)
            {
                Console.Error.Write("\r                              \r");
            }
        }
    }
}
