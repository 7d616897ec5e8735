using System.CommandLine;

namespace StageView.App.Verbs;

/// <summary>The verbs of the command, in the order that help lists them.</summary>
internal static class AllVerbs
{
    public static IEnumerable<Command> Build() =>
    [
        RenderVerb.Build(),
        DemoVerb.Build(),
        CheckVerb.Build(),
        NewVerb.Build(),
        ProfileVerb.Build(),
        SchemaVerb.Build(),
        PatchVerb.Build(),
        PaperworkVerb.Build(),
        ImportVerb.Build(),
        ExportVerb.Build(),
        ExchangeVerb.Build(),
        WatchVerb.Build(),
        RecordVerb.Build(),
        ReplayVerb.Build(),
        TimecodeVerb.Build(),
        LinecheckVerb.Build(),
        ExplainVerb.Build(),
        LevelsVerb.Build(),
        CuesVerb.Build(),
        MovesVerb.Build(),
        PixelsVerb.Build(),
        JoinVerb.Build(),
        LuxVerb.Build(),
        AimVerb.Build(),
        RefocusVerb.Build(),
        FrontlightVerb.Build(),
        SurveyVerb.Build(),
        BouncesVerb.Build(),
        CautionsVerb.Build(),
        LasersVerb.Build(),
        FlashesVerb.Build(),
        LoadVerb.Build(),
        AuditVerb.Build(),
        SnapVerb.Build(),
        CompareVerb.Build(),
        ShowsVerb.Build(),
        TakeoverVerb.Build(),
        NightVerb.Build(),
        AcceptVerb.Build(),
        LiveVerb.Build(),
        NotesVerb.Build(),
        LivePicturesVerb.Build(),
    ];
}
