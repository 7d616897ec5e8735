using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Show;
using StageView.Show.Cautions;

namespace StageView.App.Verbs;

/// <summary><c>stageview cautions RIG</c>: what shines, flashes and moves where people may be?</summary>
internal static class CautionsVerb
{
    public static Command Build()
    {
        var light = new LightOptions();
        var limits = new LimitOption();
        var step = new Option<double>("--every")
        {
            Description = "With --capture and no --at: look at the whole capture, once in so many seconds; flashes are looked for 80 times a second.",
            HelpName = "SECONDS",
            DefaultValueFactory = _ => 0.5,
        };
        var command = light.Command("cautions",
            "Lists light and lasers that enter the audience and crew volumes of the rig file, fast strobes, and pieces that move near people or each other. "
            + "Reasons to look; never a verdict that something is safe.");
        command.Add(limits.Option);
        command.Add(step);
        return command.Does(parse =>
        {
            using var question = light.Open(parse);
            var every = parse.GetValue(step);
            if (!(every >= 0.02))
            {
                throw StopException.Wrong("--every takes 0.02 seconds or more");
            }

            var search = new CautionsQuestion(question.Rig, limits.Read(parse, question.Rig.Limits));
            foreach (var _ in CautionsWalk.Through(search, question.Source, question.Times(every), light.Bounces(parse)))
            {
            }

            var answer = search.Answer();
            CautionsPrint.Print(question.Rig, answer, parse.GetValue(light.Json));
            var doubts = Tell.Doubts(question.Source);
            return doubts ? Exit.WrongQuestion : answer.Any ? Exit.No : answer.AnythingChecked ? Exit.Fine : Exit.WrongQuestion;
        });
    }
}
