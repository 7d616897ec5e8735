using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Files;
using StageView.Show;
using StageView.Show.Cautions;

namespace StageView.App.Verbs;

/// <summary><c>stageview lasers RIG</c>: where do lasers end, what do they pass over, what could they reach?</summary>
internal static class LasersVerb
{
    public static Command Build()
    {
        var light = new LightOptions();
        var limit = new LimitOption();
        var step = new Option<double>("--every")
        {
            Description = "With --capture and no --at: look at the whole capture, once in so many seconds.",
            HelpName = "SECONDS",
            DefaultValueFactory = _ => 0.25,
        };
        var dossier = new Option<string?>("--dossier")
        {
            Description = "Write the dossier for the laser safety officer to this PDF file: plan, side view, tables, timeline, blanks.", HelpName = "FILE",
        };
        var date = new Option<string>("--date") { Description = "Date or revision for the dossier.", DefaultValueFactory = _ => "", HelpName = "TEXT" };
        var command = light.Command("lasers",
            "Lists every laser with its hazard distances, where its rays end, what they pass over, which mirrors they could reach. Figures for the laser "
            + "safety officer; never a verdict that something is safe.");
        foreach (var option in (Option[])[limit.Option, step, dossier, date])
        {
            command.Add(option);
        }

        return command.Does(parse =>
        {
            using var question = light.Open(parse);
            if (!(parse.GetValue(step) >= 0.02))
            {
                throw StopException.Wrong("--every takes 0.02 seconds or more");
            }

            var search = new LasersQuestion(question.Rig, limit.Read(parse, question.Rig.Limits));
            if (!search.HasLasers)
            {
                throw StopException.Wrong($"{question.Rig.File} has no laser: nothing could be checked");
            }

            foreach (var time in question.Times(parse.GetValue(step)))
            {
                question.Source.FeedTo(time);
                search.Look(question.Source.Stage, time, light.Bounces(parse));
            }

            var answer = search.Answer();
            LasersPrint.Print(question.Rig, answer, parse.GetValue(light.Json));
            if (parse.GetValue(dossier) is { } file)
            {
                var facts = new DossierFacts(light.Venue(parse) ?? "", parse.GetValue(date)!, light.Levels(parse));
                WholeFile.Write(file, LaserDossier.Write(question.Rig, answer, facts));
                Tell.Note("wrote " + file);
            }

            var doubts = Tell.Doubts(question.Source);
            return doubts ? Exit.WrongQuestion : answer.Any ? Exit.No : answer.AnythingChecked ? Exit.Fine : Exit.WrongQuestion;
        });
    }
}
