using System.CommandLine;
using System.Globalization;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.App.Watching;
using StageView.Show;
using StageView.Show.Sources;
using StageView.Show.Survey;
using StageView.Stage.Survey;

namespace StageView.App.Verbs;

/// <summary><c>stageview survey RIG MARKS</c>: where the rig really hangs.</summary>
internal static class SurveyVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var marks = new Argument<string>("MARKS") { Description = "The marks file (JSON with comments): taped marks, and which heads were aimed at them." };
        var venue = Verb.VenueOption();
        var capture = new Option<string?>("--capture")
        {
            Description = "A capture file (pcap or pcapng), for pan and tilt of sightings that have none in the marks file.", HelpName = "FILE",
        };
        var at = new Option<string?>("--at")
        {
            Description = "The time in the capture of sightings that name none: " + ShowTime.Help + ". Without it: the end.", HelpName = "TIME",
        };
        var listen = new Option<bool>("--listen")
        {
            Description = "Take pan and tilt of sightings that have none from the network, one after the other, each when Enter is pressed.",
        };
        var keep = new Option<string?>("--keep")
        {
            Description = "With --listen: the marks file to write with what was taken, after each; it must not exist.", HelpName = "FILE",
        };
        var sigma = Degrees("--sigma", .2, "How far off pan and tilt are taken to be");
        var centring = Degrees("--centring", .1, "How far off the middle of a beam is put on its mark by eye");
        var output = new Option<string?>("--out")
        {
            Description = "Write a venue file that moves the parts to where they hang; with --venue that venue and these moves, beside it.", HelpName = "FILE",
        };
        var json = Verb.JsonOption();
        var command = new Command("survey",
            "Works out where trusses, towers and other parts really hang, from a few heads that were aimed at marks of known place.")
        { rig, marks, venue, capture, at, listen, keep, sigma, centring, output, json };
        return command.Does(async (parse, stop) =>
        {
            if (parse.GetValue(at) is not null && parse.GetValue(capture) is null)
            {
                throw StopException.Wrong("--at is a time in a capture: name it with --capture FILE");
            }

            if (parse.GetValue(listen) != (parse.GetValue(keep) is not null) || (parse.GetValue(listen) && parse.GetValue(capture) is not null))
            {
                throw StopException.Wrong("--listen goes with --keep FILE, so that nothing is lost, and without --capture");
            }

            var asked = new SurveyAsked
            {
                Rig = parse.GetValue(rig)!,
                Venue = parse.GetValue(venue),
                Marks = parse.GetValue(marks)!,
                Capture = parse.GetValue(capture),
                At = parse.GetValue(at),
                Spread = AngleSpread.OfDegrees(Read(parse, sigma), Read(parse, centring)),
            };
            var answer = parse.GetValue(keep) is { } kept ? await SurveyListening.Answer(asked, kept, stop).ConfigureAwait(false)
                : SurveyQuestion.Answer(asked, Tell.Note);
            if (parse.GetValue(output) is { } written)
            {
                Write(asked, answer, written);
            }

            SurveyPrint.Print(answer, asked.Spread, parse.GetValue(json));
            return answer.AllKnown ? Exit.Fine : Exit.No;
        });
    }

    private static void Write(SurveyAsked asked, SurveyAnswer answer, string path)
    {
        if (answer.Known.Count == 0)
        {
            Tell.Note($"{path} is not written: no part's place is known");
            return;
        }

        foreach (var note in SurveyVenue.Write(asked, answer, path))
        {
            Tell.Note(note);
        }
    }

    private static Option<double> Degrees(string name, double usual, string what) => new(name)
    {
        Description = string.Create(CultureInfo.InvariantCulture,
            $"{what}, degrees, one standard deviation (common practice, no source)."),
        HelpName = "DEGREES",
        DefaultValueFactory = _ => usual,
    };

    private static double Read(ParseResult parse, Option<double> option) => parse.GetValue(option) is >= .001 and <= 10 and var degrees ? degrees
        : throw StopException.Wrong($"{option.Name} takes .001 to 10 degrees");
}
