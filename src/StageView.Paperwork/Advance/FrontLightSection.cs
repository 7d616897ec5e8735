using StageView.Paperwork.Lists;

namespace StageView.Paperwork.Advance;

/// <summary>What the advance sheet says of front light from the house's lanterns.</summary>
/// <param name="Wanted">What is asked for, and how far it is held.</param>
/// <param name="Used">The lanterns that are used, and how they are aimed.</param>
/// <param name="Unheld">The positions that they don't hold, and why; no rows where they hold all.</param>
/// <param name="ToHang">What would have to be hung beside them; no rows where nothing.</param>
public sealed record FrontLightSection(string Wanted, PaperTable Used, PaperTable Unheld, PaperTable ToHang);
