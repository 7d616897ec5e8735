using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.App.Verbs;

/// <summary><c>stageview moves RIG --capture F</c>: which moves come too late.</summary>
internal static class MovesVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var capture = new Option<string>("--capture")
        {
            Description = "A capture file with the console's sACN and Art-Net.", HelpName = "FILE", Required = true,
        };
        var late = new Option<double>("--late")
        {
            Description = "Seconds a lit fixture may still be travelling (common practice, no source).", HelpName = "SECONDS",
            DefaultValueFactory = _ => MovesAllowed.UsualSeconds,
        };
        var off = new Option<double>("--off")
        {
            Description = "Degrees its beam may be off meanwhile (common practice, no source).", HelpName = "DEGREES",
            DefaultValueFactory = _ => MovesAllowed.UsualDegrees,
        };
        var winches = new Option<bool>("--winches") { Description = "Winches as well as pan and tilt." };
        var unlit = new Option<bool>("--unlit") { Description = "Also list moves in the dark, with the time they had to spare." };
        var json = Verb.JsonOption();
        var command = new Command(
            "moves",
            "Lists fixtures that are lit while still travelling, and whether the dark time before would have been enough. Exit code 1 when any is later and "
            + "further off than allowed.")
        {
            rig, venue, capture, late, off, winches, unlit, json,
        };
        return command.Does(parse =>
        {
            var scene = RigFiles.Open(parse.GetValue(rig)!, parse.GetValue(venue), tell: Tell.Note);
            using var source = new CaptureShow(scene, parse.GetValue(capture)!);
            var answer = MovesQuestion.Answer(source, new MovesAllowed(parse.GetValue(late), parse.GetValue(off)), parse.GetValue(winches));
            MovesPrint.Print(answer, parse.GetValue(unlit), parse.GetValue(json));
            return Tell.Doubts(source) ? Exit.WrongQuestion : answer.Late.Count > 0 ? Exit.No : Exit.Fine;
        });
    }
}
