namespace StageView.Show.Questions;

/// <summary>What stands beside every answer that says where a beam goes.</summary>
public static class EyeCaution
{
    public const string Text =
        "Look where beams go before they go there, off mirrors too: nobody in the path, on or in front of the mirrors, no light into eyes. Nothing here says "
        + "that it is safe; local code and licensed practice decide.";
}
