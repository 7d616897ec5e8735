using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Words;
using StageView.Show.Sources;
using StageView.Wire.Clock;

namespace StageView.App.Verbs;

/// <summary><c>stageview timecode FILE</c>: the timecode of a capture or of a sound file.</summary>
internal static class TimecodeVerb
{
    public static Command Build()
    {
        var file = new Argument<string>("FILE") { Description = "A capture (pcap or pcapng) with ArtTimeCode, or a WAV file with linear timecode." };
        var channel = new Option<int>("--channel") { Description = "The channel of the WAV file, from 1.", HelpName = "N", DefaultValueFactory = _ => 1 };
        var freewheel = Verb.FreewheelOption();
        var json = Verb.JsonOption();
        var command = new Command("timecode",
            "Says what timecode a capture or a sound file holds: where it starts, stops, jumps and drops out.") { file, channel, freewheel, json };
        return command.Does(parse => Run(parse.GetValue(file)!, parse.GetValue(channel), Verb.Freewheel(parse.GetValue(freewheel)), parse.GetValue(json)));
    }

    private static int Run(string file, int channel, double freewheel, bool asJson)
    {
        var problems = new List<string>();
        var track = CaptureTrack.OfFile(file, channel, TimeSpan.FromSeconds(freewheel), problems.Add);
        if (asJson)
        {
            Answers.WriteJson(new
            {
                file,
                labels = track.Labels,
                covered = track.Covered(),
                problems,
                events = track.Events.Select(e =>
                    new { kind = e.Kind, at = e.At.TotalSeconds, from = e.From?.ToString(), to = e.To?.ToString(), text = e.ToString() }),
            });
        }
        else if (track.Labels == 0)
        {
            Console.WriteLine($"{file}: no timecode");
        }
        else
        {
            Console.WriteLine($"{file}: {Counted.Of(track.Labels, "label")}, {track.Covered()}, {TimecodeRateText.Of(track.Latest!.Value.Timecode.Rate)}");
            foreach (var e in track.Events)
            {
                Console.WriteLine("  " + e);
            }
        }

        problems.ForEach(Tell.Note);
        return problems.Count > 0 ? Exit.WrongQuestion : track.Labels == 0 ? Exit.No : Exit.Fine;
    }
}
