using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Show.Questions;

namespace StageView.App.Verbs;

/// <summary><c>stageview lux RIG --on AREA</c>: how bright is it there?</summary>
internal static class LuxVerb
{
    public static Command Build()
    {
        var light = new LightOptions();
        var on = new Option<string[]>("--on")
        {
            Description =
                "Where: an area or a focus point of the rig file, scenery:NAME for a piece's surface, or a point x,y,z. May be given several times; without "
                + "it, every area of the rig.",
            HelpName = "PLACE",
        };
        var measure = new Option<string>("--measure")
        {
            Description =
                "What: plane (the area's own), camera:NAME (a plane that faces a camera), vertical:x,y (an upright plane facing that way), cylindrical, or "
                + "semicylindrical:x,y.",
            HelpName = "QUANTITY",
            DefaultValueFactory = _ => "plane",
        };
        var clear = new Option<bool>("--clear-air") { Description = "As a plan is calculated: without what the haze takes on the way." };
        var output = new Option<string?>("--out")
        {
            Description = "Write a heat map (PNG), isolux lines (SVG) and the points (CSV) of each area to this folder.", HelpName = "FOLDER",
        };
        var least = new Option<double?>("--least")
        {
            Description = "Front-light check: list the positions below this level, lx, and answer no (1) when there are any.", HelpName = "LUX",
        };
        var modelling = new Option<string?>("--modelling")
        {
            Description = "Front-light check: list the positions whose ratio of cylindrical to horizontal illuminance lies outside LOW-HIGH, such as 0.3-0.6.",
            HelpName = "LOW-HIGH",
        };
        var reach = new Option<string?>("--reach")
        {
            Description = "For each position listed: which of these fixtures could reach it, and with how much.", HelpName = "FIXTURES",
        };
        var command = light.Command("lux", "Measures illuminance at points, on areas and on scenery; finds the positions that front light misses.");
        var indirect = Verb.IndirectOption("What matt surfaces throw on each other: on (when left out) adds and names it, off measures without.");
        foreach (var option in (Option[])[on, measure, clear, indirect, output, least, modelling, reach])
        {
            command.Add(option);
        }

        return command.Does(parse =>
        {
            var matt = Verb.IsIndirect(parse.GetValue(indirect), true);
            using var question = light.Open(parse);
            var asked = new LuxAsked(
                parse.GetValue(on) ?? [], parse.GetValue(measure)!, parse.GetValue(clear),
                parse.GetValue(least), parse.GetValue(modelling), parse.GetValue(reach))
            { Indirect = matt };
            var answer = LuxQuestion.Answer(question.Rig, question.Moment(Tell.Note), asked);
            var files = parse.GetValue(output) is { } folder ? LuxFiles.Write(question.Rig, answer, folder) : [];
            LuxPrint.Print(question.Rig, answer, files, parse.GetValue(light.Json));
            return question.Doubtful ? Exit.WrongQuestion : answer.Findings.Count == 0 ? Exit.Fine : Exit.No;
        });
    }
}
