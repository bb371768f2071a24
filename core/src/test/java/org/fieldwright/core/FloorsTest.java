package org.fieldwright.core;

import com.tngtech.archunit.core.importer.ImportOption.DoNotIncludeTests;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchRule;
import com.tngtech.archunit.lang.syntax.ArchRuleDefinition;
import com.tngtech.archunit.library.dependencies.SlicesRuleDefinition;

/** Core is mathematics: it reaches for nothing outside itself. */
@AnalyzeClasses(packages = "org.fieldwright.core", importOptions = DoNotIncludeTests.class)
class FloorsTest {

  @ArchTest
  static final ArchRule NO_WORLD_IN_CORE =
      ArchRuleDefinition.noClasses()
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage(
              "java.io..",
              "java.nio..",
              "java.net..",
              "java.sql..",
              "java.lang.reflect..",
              "org.fieldwright.adapters..",
              "org.fieldwright.app..")
          .allowEmptyShould(true);

  @ArchTest
  static final ArchRule NO_CLOCK_IN_CORE =
      ArchRuleDefinition.noClasses()
          .should()
          .callMethod(System.class, "nanoTime")
          .orShould()
          .callMethod(System.class, "currentTimeMillis")
          .orShould()
          .callMethod("java.time.Instant", "now")
          .orShould()
          .callMethod("java.time.LocalDate", "now");

  @ArchTest
  static final ArchRule NO_THREADS_IN_CORE =
      ArchRuleDefinition.noClasses()
          .should()
          .dependOnClassesThat()
          .haveFullyQualifiedName("java.util.concurrent.Executors")
          .orShould()
          .dependOnClassesThat()
          .haveFullyQualifiedName("java.lang.Thread");

  @ArchTest
  static final ArchRule PACKAGES_FORM_NO_CYCLE =
      SlicesRuleDefinition.slices()
          .matching("org.fieldwright.core.(*)..")
          .should()
          .beFreeOfCycles();
}
